//! HTTP, as much of it as one page on one machine speaks: a request with a length is answered with one, and the connection is kept
//! for the next. Each connection has a thread of its own, so that none waits for another's. Heads are read by `httparse`.

use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::time::Duration;

/// A head longer than this is refused.
const LONGEST_HEAD: u64 = 32 << 10;
/// More headers than these no browser sends.
const MOST_HEADERS: usize = 64;
/// A question or a text is not read beyond this.
const LONGEST_BODY: u64 = 64 << 20;
/// Who says nothing for so long has gone.
const PATIENCE: Duration = Duration::from_secs(60);

/// What a request says before its body.
pub(super) struct Head {
    pub method: String,
    /// The path with the query.
    pub target: String,
    headers: Vec<(String, String)>,
    is_kept: bool,
}

impl Head {
    /// The values of a header, as often as it stands there.
    pub(super) fn all(&self, name: &str) -> Vec<&str> {
        let headers = self.headers.iter();
        let named = headers.filter(|(known, _)| known.eq_ignore_ascii_case(name));
        named.map(|(_, value)| value.as_str()).collect()
    }
}

/// An answer.
pub(super) struct Answer {
    pub status: u16,
    pub kind: &'static str,
    pub bytes: Vec<u8>,
}

/// The body of a request, not yet read.
pub(super) struct Body<'c> {
    from: &'c mut BufReader<TcpStream>,
    /// How long it is; none where it does not say.
    length: Option<u64>,
    is_read: bool,
}

/// Why a body is not read.
pub(super) enum NoBody {
    /// It does not say how long it is.
    NoLength,
    /// It is longer than anything the desk takes.
    TooLong,
    /// It broke off.
    BrokenOff,
}

impl Body<'_> {
    /// The whole of it.
    ///
    /// # Errors
    /// As [`NoBody`] says.
    pub(super) fn read(&mut self) -> Result<Vec<u8>, NoBody> {
        let length = self.length.ok_or(NoBody::NoLength)?;
        if length > LONGEST_BODY {
            return Err(NoBody::TooLong);
        }
        let mut bytes = Vec::new();
        let read = self.from.by_ref().take(length).read_to_end(&mut bytes);
        if read.is_err() || bytes.len() as u64 != length {
            return Err(NoBody::BrokenOff);
        }
        self.is_read = true;
        Ok(bytes)
    }
}

/// Answers one request of a connection after another, until it ends.
pub(super) fn serve(
    stream: TcpStream,
    policy: &[(&str, &str)],
    answer: &dyn Fn(&Head, &mut Body<'_>) -> Answer,
) {
    // Whoever is gone, or speaks something else, hears nothing.
    let _ = served(stream, policy, answer);
}

fn served(
    stream: TcpStream,
    policy: &[(&str, &str)],
    answer: &dyn Fn(&Head, &mut Body<'_>) -> Answer,
) -> io::Result<()> {
    stream.set_nodelay(true)?;
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    let mut writer = stream.try_clone()?;
    let mut reader = BufReader::new(stream);
    while let Some(head) = head(&mut reader)? {
        let Some(head) = head else {
            let refused = Answer {
                status: 400,
                kind: "text/plain",
                bytes: Vec::new(),
            };
            return writer.write_all(&written(&refused, policy, false, true));
        };
        let lengths = head.all("Content-Length");
        let length = match lengths.as_slice() {
            // A length is digits alone; other ways of saying one are none.
            [one] if one.bytes().all(|byte| byte.is_ascii_digit()) => one.parse().ok(),
            _ => None,
        };
        let has_body = !lengths.is_empty() || !head.all("Transfer-Encoding").is_empty();
        let mut body = Body {
            from: &mut reader,
            length: length.filter(|_| head.all("Transfer-Encoding").is_empty()),
            is_read: false,
        };
        let answered = answer(&head, &mut body);
        // What was not read would be taken for the next request.
        let is_kept = head.is_kept && (body.is_read || !has_body || length == Some(0));
        let is_whole = head.method != "HEAD";
        writer.write_all(&written(&answered, policy, is_kept, is_whole))?;
        if !is_kept {
            break;
        }
    }
    Ok(())
}

/// The head of the next request: none where the connection ends; of what is no head, nothing.
fn head(reader: &mut BufReader<TcpStream>) -> io::Result<Option<Option<Head>>> {
    let mut bytes = Vec::new();
    let mut limited = reader.by_ref().take(LONGEST_HEAD);
    loop {
        let before = bytes.len();
        if limited.read_until(b'\n', &mut bytes)? == 0 {
            return Ok((!bytes.is_empty()).then_some(None));
        }
        let line = bytes.get(before..).unwrap_or_default();
        if before > 0 && matches!(line, b"\r\n" | b"\n") {
            break;
        }
    }
    let mut headers = [httparse::EMPTY_HEADER; MOST_HEADERS];
    let mut request = httparse::Request::new(&mut headers);
    if !matches!(request.parse(&bytes), Ok(httparse::Status::Complete(_))) {
        return Ok(Some(None));
    }
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).ok();
    let pairs = request.headers.iter().map(|header| {
        let value = text(header.value)?;
        Some((header.name.to_owned(), value.trim().to_owned()))
    });
    let Some(headers) = pairs.collect::<Option<Vec<_>>>() else {
        return Ok(Some(None));
    };
    let (Some(method), Some(target)) = (request.method, request.path) else {
        return Ok(Some(None));
    };
    let mut head = Head {
        method: method.to_owned(),
        target: target.to_owned(),
        headers,
        is_kept: request.version == Some(1),
    };
    let is_closed = |value: &&str| value.eq_ignore_ascii_case("close");
    head.is_kept &= !head.all("Connection").iter().any(is_closed);
    Ok(Some(Some(head)))
}

/// An answer as it is sent, in one piece.
fn written(answer: &Answer, policy: &[(&str, &str)], is_kept: bool, is_whole: bool) -> Vec<u8> {
    let reason = match answer.status {
        200 => "OK",
        400 => "Bad Request",
        401 => "Unauthorized",
        403 => "Forbidden",
        404 => "Not Found",
        409 => "Conflict",
        411 => "Length Required",
        413 => "Content Too Large",
        422 => "Unprocessable Content",
        _ => "",
    };
    let mut head = format!(
        "HTTP/1.1 {} {reason}\r\nContent-Type: {}\r\nContent-Length: {}\r\n",
        answer.status,
        answer.kind,
        answer.bytes.len()
    );
    for (name, value) in policy {
        head.push_str(&format!("{name}: {value}\r\n"));
    }
    head.push_str(if is_kept {
        "Connection: keep-alive\r\n\r\n"
    } else {
        "Connection: close\r\n\r\n"
    });
    let mut bytes = head.into_bytes();
    if is_whole {
        bytes.extend_from_slice(&answer.bytes);
    }
    bytes
}
