//! The page itself, as `desk/` builds it.

/// A file of the page.
pub(super) struct Asset {
    pub kind: &'static str,
    pub bytes: &'static [u8],
}

/// What a browser is told of every file: it may do what the page needs, ask this desk alone, and be shown in no other page.
const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self' 'unsafe-inline'; \
    img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; frame-src blob:; base-uri 'none'; form-action 'none'; \
    frame-ancestors 'none'";

/// What a browser is told of every answer.
pub(super) const TOLD: [(&str, &str); 7] = [
    ("Cache-Control", "no-store"),
    ("Content-Security-Policy", POLICY),
    ("Cross-Origin-Opener-Policy", "same-origin"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("Referrer-Policy", "no-referrer"),
    ("X-Content-Type-Options", "nosniff"),
    ("X-Frame-Options", "DENY"),
];

macro_rules! asset {
    ($name:literal, $kind:literal) => {
        Some(Asset {
            kind: $kind,
            bytes: include_bytes!(concat!("../../../assets/desk/", $name)),
        })
    };
}

/// The file of that path.
pub(super) fn asset(path: &str) -> Option<Asset> {
    match path {
        "/" | "/index.html" => asset!("index.html", "text/html; charset=utf-8"),
        "/desk.js" => asset!("desk.js", "text/javascript; charset=utf-8"),
        "/desk.css" => asset!("desk.css", "text/css; charset=utf-8"),
        "/icon.svg" => asset!("icon.svg", "image/svg+xml"),
        "/LICENCES.txt" => asset!("LICENCES.txt", "text/plain; charset=utf-8"),
        _ => None,
    }
}
