//! Who may come in: only a page that this desk has served, in a browser on this machine, whose address had the key.

use super::http::Head;

/// The header in which the page shows the key.
const KEY: &str = "X-Oaktag-Key";

/// The key, and the names under which the desk may be called.
pub(super) struct Door {
    key: String,
    port: u16,
}

impl Door {
    /// A door with a key of its own.
    ///
    /// # Errors
    /// In words, where the machine gives no numbers by chance.
    pub(super) fn new(port: u16) -> Result<Self, String> {
        let mut chance = [0_u8; 16];
        getrandom::fill(&mut chance)
            .map_err(|why| format!("the machine gives no number by chance for a key: {why}"))?;
        let key = chance.iter().map(|byte| format!("{byte:02x}")).collect();
        Ok(Self { key, port })
    }

    /// The address that opens the page.
    pub(super) fn first_address(&self) -> String {
        format!("http://127.0.0.1:{}/?key={}", self.port, self.key)
    }

    /// Whether a request was sent to this desk by its own name, and by no page of another. A name that another machine gives
    /// to this address is not its own, and a browser says from where a page asks.
    pub(super) fn is_own(&self, head: &Head) -> bool {
        let names = [
            format!("127.0.0.1:{}", self.port),
            format!("localhost:{}", self.port),
        ];
        let is_host = |host: &str| names.iter().any(|name| name == host);
        let is_origin = |origin: &str| origin.strip_prefix("http://").is_some_and(is_host);
        let hosts = head.all("Host");
        let is_called = matches!(hosts.as_slice(), [host] if is_host(host));
        let is_asked = head.all("Origin").iter().all(|origin| is_origin(origin));
        let from = head.all("Sec-Fetch-Site");
        let is_from = from
            .iter()
            .all(|from| matches!(*from, "same-origin" | "none"));
        is_called && is_asked && is_from
    }

    /// Whether a request shows the key.
    pub(super) fn has_key(&self, head: &Head) -> bool {
        match head.all(KEY).as_slice() {
            // Every letter is looked at, so that the time says nothing of the first that is wrong.
            [key] if key.len() == self.key.len() => {
                let letters = key.bytes().zip(self.key.bytes());
                letters.fold(0, |wrong, (one, other)| wrong | (one ^ other)) == 0
            }
            _ => false,
        }
    }
}
