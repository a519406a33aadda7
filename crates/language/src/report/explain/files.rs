//! Messages about files: the draft's own, those it brings in, and the library's.

use super::{Explanation, Given, explain};
use crate::report::Code;

/// The codes of this topic.
pub(super) const ROWS: &[(Code, Explanation)] = &[
    explain(
        Code::FileUnreadable,
        "A file the draft brings in is not there, or cannot be read.",
        r#"import "house-block.draft" as house"#,
        "Write its name as it is on the disk, relative to the file that names it.",
    ),
    explain(
        Code::ImportOutsideFolder,
        "An import leads out of the folder the draft lies in. A draft and all it needs stay together, so that they can be handed on whole.",
        r#"import "../house-block.draft" as house"#,
        "Put the file into the draft's folder, or below it.",
    ),
    (
        Code::ImportCircle,
        Explanation {
            meaning: "A file brings itself in, or brings in one that brings it in, so that neither can be read first.",
            example: r#"import "ferry.draft" as ferry_file"#,
            cure: "Take out one of the imports; put what both need into a third file.",
            given: Given::FileName("ferry.draft"),
        },
    ),
    explain(
        Code::UnknownModule,
        "`use` names a part of the library that does not exist.",
        "use trousers",
        "Name one that does, or bring in a file of your own with `import`.",
    ),
    explain(
        Code::UnknownEdition,
        "The first line asks for an edition of the language that this program does not know.",
        "edition 2",
        "Write `edition 1`, or take a newer program.",
    ),
];
