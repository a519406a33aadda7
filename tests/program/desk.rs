//! The desk from outside: whoever is not its own page gets nothing, and no file is lost, spoilt or written elsewhere.

#![cfg(unix)]

use crate::git::repository::Repository;
use serde_json::{Value, json};
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use tempfile::TempDir;

const STRIP: &str =
    "unit cm\npanel strip {\n  point top = origin\n  line one = from top toward down for 30cm\n}\n";

struct Served {
    child: Child,
    port: u16,
    key: String,
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

struct Said {
    status: u16,
    head: String,
    body: Vec<u8>,
}

impl Said {
    fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap()
    }
}

fn serve(at: &Path) -> Served {
    let mut child = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(["desk", "--no-open"])
        .arg(at)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut first = String::new();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    out.read_line(&mut first).unwrap();
    let rest = first.trim().strip_prefix("http://127.0.0.1:").unwrap();
    let (port, key) = rest.split_once("/?key=").unwrap();
    Served {
        child,
        port: port.parse().unwrap(),
        key: key.to_owned(),
    }
}

impl Served {
    /// Sends what stands before the body, line by line as it is.
    fn send(&self, first: &str, headers: &[String], body: &[u8]) -> Said {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        let mut head = format!("{first} HTTP/1.1\r\n");
        for header in headers {
            head.push_str(header);
            head.push_str("\r\n");
        }
        head.push_str(&format!(
            "Content-Length: {}\r\nConnection: close\r\n\r\n",
            body.len()
        ));
        stream.write_all(head.as_bytes()).unwrap();
        // Who is refused may be cut off before all is sent.
        let _ = stream.write_all(body);
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let end = bytes
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .unwrap();
        let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        Said {
            status,
            head,
            body: bytes[end + 4..].to_vec(),
        }
    }

    fn host(&self) -> String {
        format!("Host: 127.0.0.1:{}", self.port)
    }

    fn shown(&self) -> String {
        format!("X-Oaktag-Key: {}", self.key)
    }

    /// As the page sends.
    fn ask(&self, first: &str, body: &[u8]) -> Said {
        let origin = format!("Origin: http://127.0.0.1:{}", self.port);
        let from = "Sec-Fetch-Site: same-origin".to_owned();
        self.send(first, &[self.host(), origin, from, self.shown()], body)
    }

    fn put(&self, path: &str, text: &str, was: Option<&str>) -> Said {
        let body = json!({"text": text, "was": was}).to_string();
        self.ask(&format!("PUT /file?path={path}"), body.as_bytes())
    }
}

fn folder() -> TempDir {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("strip.draft"), STRIP).unwrap();
    fs::write(folder.path().join("notes.txt"), "mine").unwrap();
    folder
}

#[test]
fn a_page_of_another_gets_nothing() {
    let folder = folder();
    let desk = serve(folder.path());
    let (host, key) = (desk.host(), desk.shown());
    let body = json!({"text": "spoilt", "was": null}).to_string();
    let question = json!({"name": "strip.draft", "text": STRIP, "form": "view"}).to_string();
    let wrong_key = "X-Oaktag-Key: 00000000000000000000000000000000".to_owned();
    let another = |line: &str| line.to_owned();
    // What a page can send that was opened from elsewhere, or under a name that somebody gave to this address.
    let from_elsewhere: Vec<Vec<String>> = vec![
        vec![host.clone()],
        vec![host.clone(), wrong_key],
        vec![host.clone(), another("X-Oaktag-Key: ")],
        vec![host.clone(), key.clone(), key.clone()],
        vec![
            host.clone(),
            key.clone(),
            another("Origin: http://hostile.example"),
        ],
        vec![host.clone(), key.clone(), another("Origin: null")],
        vec![
            host.clone(),
            key.clone(),
            another("Origin: http://127.0.0.1:1"),
        ],
        vec![
            host.clone(),
            key.clone(),
            another("Sec-Fetch-Site: cross-site"),
        ],
        vec![
            host.clone(),
            key.clone(),
            another("Sec-Fetch-Site: same-site"),
        ],
        vec![another("Host: hostile.example"), key.clone()],
        vec![format!("Host: hostile.example:{}", desk.port), key.clone()],
        vec![host.clone(), another("Host: hostile.example"), key.clone()],
        vec![key.clone()],
    ];
    for headers in &from_elsewhere {
        for (first, body) in [
            ("GET /files", ""),
            ("GET /file?path=strip.draft", ""),
            ("GET /changes", ""),
            ("GET /committed?path=strip.draft", ""),
            ("PUT /file?path=strip.draft", &*body),
            ("PUT /file?path=new.draft", &*body),
            ("POST /answer", &*question),
            ("OPTIONS /file?path=strip.draft", ""),
        ] {
            let said = desk.send(first, headers, body.as_bytes());
            assert!(
                matches!(said.status, 400 | 401 | 403),
                "{first} {headers:?}: {}",
                said.head
            );
            assert!(
                !said.head.to_ascii_lowercase().contains("access-control"),
                "{}",
                said.head
            );
            let text = String::from_utf8_lossy(&said.body);
            assert!(
                !text.contains("strip") && !text.contains("panel"),
                "{first}: {text}"
            );
        }
    }
    assert_eq!(
        fs::read_to_string(folder.path().join("strip.draft")).unwrap(),
        STRIP
    );
    assert!(!folder.path().join("new.draft").exists());
    // The page's own files hold nothing of anybody, and no other page may show them.
    let page = desk.send("GET /", &[host], b"");
    assert_eq!(page.status, 200);
    assert!(page.head.contains("frame-ancestors 'none'") && page.head.contains("nosniff"));
    assert!(!String::from_utf8_lossy(&page.body).contains(&desk.key));
}

#[test]
fn nothing_outside_of_the_folder_is_read_or_written() {
    let outside = TempDir::new().unwrap();
    let folder = outside.path().join("drafts");
    fs::create_dir_all(folder.join("inner")).unwrap();
    fs::write(outside.path().join("other.draft"), "secret").unwrap();
    fs::write(folder.join("strip.draft"), STRIP).unwrap();
    fs::write(folder.join("notes.txt"), "secret").unwrap();
    fs::write(folder.join(".hidden.draft"), "secret").unwrap();
    let link = |to: &Path, name: &str| std::os::unix::fs::symlink(to, folder.join(name)).unwrap();
    link(&outside.path().join("other.draft"), "link.draft");
    link(outside.path(), "away");
    link(&outside.path().join("none.draft"), "dangling.draft");
    link(&folder.join("strip.draft"), "within.draft");
    let desk = serve(&folder);
    let full = outside.path().join("other.draft").display().to_string();
    let paths = [
        "../other.draft",
        "inner/../../other.draft",
        "%2e%2e/other.draft",
        "..%2fother.draft",
        "..%5cother.draft",
        "inner//../../other.draft",
        &full,
        "link.draft",
        "away/other.draft",
        "away/new.draft",
        "dangling.draft",
        "notes.txt",
        ".hidden.draft",
        "strip.draft%00",
        "",
        "inner",
        "new.rs",
    ];
    for path in paths {
        let said = desk.ask(&format!("GET /file?path={path}"), b"");
        assert!(said.status >= 400, "{path}: {}", said.head);
        assert!(
            !String::from_utf8_lossy(&said.body).contains("secret"),
            "{path}"
        );
        for was in [None, Some("6-0")] {
            let said = desk.put(path, "spoilt", was);
            assert!(said.status >= 400, "{path}: {}", said.head);
        }
    }
    assert_eq!(
        fs::read_to_string(outside.path().join("other.draft")).unwrap(),
        "secret"
    );
    assert_eq!(fs::read_dir(outside.path()).unwrap().count(), 2);
    let listed = desk.ask("GET /files", b"").json();
    let paths: Vec<&str> = listed["files"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["path"].as_str().unwrap())
        .collect();
    assert_eq!(paths, ["strip.draft", "within.draft"]);
    assert_eq!(
        desk.ask("GET /file?path=within.draft", b"").json()["text"],
        STRIP
    );
    // A draft reads what lies below its root, and nothing above.
    let text = "import \"../other.draft\" as other\n";
    let question = json!({"name": "inner/new.draft", "text": text, "form": "messages"}).to_string();
    let told = desk.ask("POST /answer", question.as_bytes());
    let told = String::from_utf8_lossy(&told.body).into_owned();
    assert!(
        told.contains("outside") && !told.contains("secret"),
        "{told}"
    );
}

#[test]
fn what_was_changed_elsewhere_is_not_written_over() {
    let folder = folder();
    let desk = serve(&folder.path().join("strip.draft"));
    let file = folder.path().join("strip.draft");
    assert_eq!(desk.ask("GET /files", b"").json()["opens"], "strip.draft");
    let read = desk.ask("GET /file?path=strip.draft", b"").json();
    assert_eq!(read["text"], STRIP);
    let mark = read["mark"].as_str().unwrap();
    let saved = desk.put("strip.draft", "unit cm\n", Some(mark));
    assert_eq!(
        (saved.status, &*fs::read_to_string(&file).unwrap()),
        (200, "unit cm\n")
    );
    // The same again has an old mark; so has what another program wrote.
    let clash = desk.put("strip.draft", "unit mm\n", Some(mark));
    assert_eq!(
        (clash.status, clash.json()["text"].as_str()),
        (409, Some("unit cm\n"))
    );
    fs::write(&file, "unit in\n").unwrap();
    let mark = saved.json()["mark"].as_str().unwrap().to_owned();
    let clash = desk.put("strip.draft", "unit mm\n", Some(&mark));
    assert_eq!(
        (clash.status, clash.json()["text"].as_str()),
        (409, Some("unit in\n"))
    );
    let clash = desk.put("strip.draft", "unit mm\n", None);
    assert_eq!(clash.status, 409);
    assert_eq!(fs::read_to_string(&file).unwrap(), "unit in\n");
    let mark = clash.json()["mark"].as_str().unwrap().to_owned();
    assert_eq!(
        desk.put("strip.draft", "unit mm\n", Some(&mark)).status,
        200
    );
    // A new file; one in a folder that is not there; one that is no text.
    assert_eq!(desk.put("new.draft", "unit cm\n", None).status, 200);
    assert_eq!(desk.put("none/new.draft", "unit cm\n", None).status, 404);
    fs::write(folder.path().join("odd.draft"), [0xff, 0xfe]).unwrap();
    assert_eq!(desk.ask("GET /file?path=odd.draft", b"").status, 422);
    assert_eq!(desk.put("odd.draft", "unit cm\n", None).status, 422);
    assert_eq!(
        fs::read(folder.path().join("odd.draft")).unwrap(),
        [0xff, 0xfe]
    );
    for body in ["", "{", "{\"text\": 1}", "[]"] {
        let said = desk.ask("PUT /file?path=new.draft", body.as_bytes());
        assert_eq!(said.status, 400, "{body}");
    }
    assert_eq!(
        fs::read_to_string(folder.path().join("new.draft")).unwrap(),
        "unit cm\n"
    );
}

#[test]
fn killed_in_the_midst_of_saving_the_file_is_the_old_or_the_new_one() {
    let folder = folder();
    let file = folder.path().join("strip.draft");
    let long = |letter: &str| format!("# {}\n", letter.repeat(2_000_000));
    let mut before = STRIP.to_owned();
    let (mut old, mut new) = (0, 0);
    for round in 0..12_u64 {
        let mut desk = serve(folder.path());
        let mark = desk.ask("GET /file?path=strip.draft", b"").json()["mark"]
            .as_str()
            .unwrap()
            .to_owned();
        let text = long(if round % 2 == 0 { "a" } else { "b" });
        let body = json!({"text": text, "was": mark}).to_string();
        let head = format!(
            "PUT /file?path=strip.draft HTTP/1.1\r\n{}\r\n{}\r\nContent-Length: {}\r\n\r\n",
            desk.host(),
            desk.shown(),
            body.len()
        );
        let mut stream = TcpStream::connect(("127.0.0.1", desk.port)).unwrap();
        stream.write_all(head.as_bytes()).unwrap();
        stream.write_all(body.as_bytes()).unwrap();
        std::thread::sleep(std::time::Duration::from_millis(round * 3));
        desk.child.kill().unwrap();
        desk.child.wait().unwrap();
        let now = fs::read_to_string(&file).unwrap();
        assert!(
            now == before || now == text,
            "round {round}: {} bytes",
            now.len()
        );
        if now == before {
            old += 1
        } else {
            new += 1
        }
        before = now;
    }
    println!("{old} times the old file, {new} times the new one");
}

#[test]
fn changes_elsewhere_are_told_to_who_waits() {
    let folder = folder();
    let desk = serve(folder.path());
    let first = desk.ask("GET /changes", b"").json();
    assert_eq!(first["changed"], json!([]));
    fs::write(folder.path().join("other.draft"), "unit cm\n").unwrap();
    fs::write(folder.path().join("notes.txt"), "not shown").unwrap();
    let mut since = first["now"].as_u64().unwrap();
    let mut told = Vec::new();
    for _ in 0..3 {
        let next = desk.ask(&format!("GET /changes?since={since}"), b"").json();
        since = next["now"].as_u64().unwrap();
        told.extend(next["changed"].as_array().unwrap().clone());
        if !told.is_empty() {
            break;
        }
    }
    assert_eq!(told, [json!("other.draft")]);
}

#[test]
fn an_answer_is_that_of_the_program_and_the_last_commit_is_at_hand() {
    let it = Repository::new();
    let folder = it.root().join("shirts");
    let committed = fs::read_to_string(folder.join("back.draft")).unwrap();
    let desk = serve(&folder);
    let now = committed.replace("25cm", "26cm");
    assert_eq!(
        desk.ask("GET /file?path=back.draft", b"").json()["text"],
        committed
    );
    let last = desk.ask("GET /committed?path=back.draft", b"").json();
    assert_eq!(last["text"], committed);
    assert!(last["of"].as_str().unwrap().ends_with("Widen it"), "{last}");
    assert!(desk.ask("GET /committed?path=new.draft", b"").status >= 400);
    let question = json!({"name": "back.draft", "text": now, "form": "json"}).to_string();
    let answer = desk.ask("POST /answer", question.as_bytes());
    fs::write(folder.join("back.draft"), &now).unwrap();
    let out = it.outside().join("back.json");
    let run = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .current_dir(&folder)
        .args(["draw", "back.draft", "-o"])
        .arg(&out)
        .output()
        .unwrap();
    assert!(run.status.success());
    assert!(answer.body == fs::read(&out).unwrap());
    let question = json!({"name": "back.draft", "text": now, "form": "compare", "with": committed})
        .to_string();
    let compared = desk.ask("POST /answer", question.as_bytes()).json();
    let words = compared["words"].as_str().unwrap();
    assert!(words.contains("No piece changed"), "{words}");
}

#[test]
fn a_place_that_is_no_desk_is_told() {
    let folder = folder();
    let run = |at: &str| {
        let run = Command::new(env!("CARGO_BIN_EXE_oaktag"))
            .args(["desk", "--no-open"])
            .arg(folder.path().join(at))
            .output()
            .unwrap();
        (run.status.code(), String::from_utf8(run.stderr).unwrap())
    };
    let (status, said) = run("none.draft");
    assert!(
        status == Some(3) && said.contains("there is no such file"),
        "{said}"
    );
    let (status, said) = run("notes.txt");
    assert!(
        status == Some(3) && said.contains("ends in .draft"),
        "{said}"
    );
    let taken = serve(folder.path());
    let port = taken.port.to_string();
    let again = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(["desk", "--no-open", "--port", &port])
        .arg(folder.path())
        .output()
        .unwrap();
    assert_eq!(again.status.code(), Some(3));
}
