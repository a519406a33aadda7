//! Letters that a tree shares with what is made of it, in a file that keeps the tree.

use serde::{Deserialize, Deserializer, Serializer};
use std::sync::Arc;

pub(super) fn serialize<S: Serializer>(letters: &Arc<str>, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(letters)
}

pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Arc<str>, D::Error> {
    <&str>::deserialize(from).map(Arc::from)
}
