//! The server as browsers meet it, and as those do who mean it ill: real sockets, and no clock but the one that jumps.

use super::*;
use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;

fn ask(port: u16, line: &str) -> String {
    let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port)).unwrap();
    write!(
        stream,
        "{line} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
    )
    .unwrap();
    let mut text = String::new();
    stream.read_to_string(&mut text).unwrap();
    text
}

#[test]
fn serves_files_with_their_types_and_stops() {
    let folder = std::env::temp_dir().join(format!("bastwork-serve-{}", std::process::id()));
    fs::create_dir_all(folder.join("a b")).unwrap();
    fs::write(folder.join("index.html"), "home").unwrap();
    fs::write(folder.join("a b/x.wasm"), "module").unwrap();
    fs::write(folder.join(".secret"), "hidden").unwrap();

    let serving = serve_dir(&folder, 0).unwrap();
    let port = serving.port();
    let home = ask(port, "GET /?x=1");
    assert!(
        home.starts_with("HTTP/1.1 200") && home.ends_with("home"),
        "{home}"
    );
    assert!(
        home.contains("Content-Type: text/html; charset=utf-8")
            && home.contains("Cache-Control: no-cache"),
        "{home}"
    );
    let module = ask(port, "GET /a%20b/x.wasm");
    assert!(
        module.contains("Content-Type: application/wasm") && module.ends_with("module"),
        "{module}"
    );
    for outside in [
        "/../etc/passwd",
        "/%2e%2e/etc/passwd",
        "//etc/passwd",
        "/.secret",
        "/nothing",
        "/%zz",
    ] {
        assert!(
            ask(port, &format!("GET {outside}")).starts_with("HTTP/1.1 404"),
            "{outside}"
        );
    }
    assert!(ask(port, "POST /").starts_with("HTTP/1.1 405"));
    let head = ask(port, "HEAD /");
    assert!(
        head.starts_with("HTTP/1.1 200")
            && head.contains("Content-Length: 4\r\n")
            && head.contains("X-Content-Type-Options: nosniff")
            && head.ends_with("\r\n\r\n"),
        "{head}"
    );

    drop(serving);
    assert!(
        TcpStream::connect((Ipv4Addr::LOCALHOST, port)).is_err(),
        "still listening"
    );
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn takes_the_next_free_port() {
    let first = serve_dir(Path::new("."), 8900).unwrap();
    let second = serve_dir(Path::new("."), first.port()).unwrap();
    assert!(second.port() > first.port());
}

/// Asks for the page and keeps the connection open.
fn ask_and_stay(mut stream: &TcpStream) {
    stream
        .write_all(b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
        .unwrap();
}

/// Whether the page, whose last word is `home`, comes; the limit only ends a test that hangs.
fn answered(mut stream: &TcpStream) -> bool {
    let limit = Some(Duration::from_secs(60));
    stream.set_read_timeout(limit).unwrap();
    let (mut text, mut part) = (Vec::new(), [0; 1024]);
    while !text.ends_with(b"home") {
        match stream.read(&mut part) {
            Ok(size @ 1..) => text.extend_from_slice(&part[..size]),
            _ => return false,
        }
    }
    text.starts_with(b"HTTP/1.1 200")
}

#[test]
fn answers_all_while_idle_connections_stay_open() {
    let folder = std::env::temp_dir().join(format!("bastwork-idle-{}", std::process::id()));
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("index.html"), "home").unwrap();

    for round in 0..50 {
        let serving = serve_dir(&folder, 0).unwrap();
        let port = serving.port();
        // As a browser does: all at once, half of them only in case they are wanted, none of them closed.
        let streams: Vec<TcpStream> = (0..24)
            .map(|_| TcpStream::connect((Ipv4Addr::LOCALHOST, port)).unwrap())
            .collect();
        let (idle, asking) = streams.split_at(12);
        // The idle ones are in front, asked later, then the others once more.
        for streams in [asking, idle, asking] {
            streams.iter().for_each(ask_and_stay);
            let unanswered = streams.iter().filter(|stream| !answered(stream)).count();
            assert_eq!(
                unanswered, 0,
                "connections without an answer in round {round}"
            );
        }

        drop(serving);
        assert!(
            TcpStream::connect((Ipv4Addr::LOCALHOST, port)).is_err(),
            "still listening"
        );
    }
    fs::remove_dir_all(folder).unwrap();
}

/// A folder with a page and a file that no socket holds at once.
fn folder_of(name: &str, size: usize) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("bastwork-{name}-{}", std::process::id()));
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("index.html"), "home").unwrap();
    fs::write(folder.join("big.wasm"), vec![7; size]).unwrap();
    folder
}

/// Connects from an address of this computer.
#[cfg(target_os = "linux")]
fn connect_from(host: [u8; 4], port: u16) -> TcpStream {
    let runtime = Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        let socket = tokio::net::TcpSocket::new_v4().unwrap();
        socket.bind((Ipv4Addr::from(host), 0).into()).unwrap();
        let stream = socket.connect((Ipv4Addr::LOCALHOST, port).into()).await;
        let stream = stream.unwrap().into_std().unwrap();
        stream.set_nonblocking(false).unwrap();
        stream
    })
}

/// Whether the other side has closed a connection on which nothing was asked.
fn is_closed(mut stream: &TcpStream) -> bool {
    matches!(stream.read(&mut [0; 1]), Ok(0) | Err(_))
}

#[test]
#[cfg(target_os = "linux")]
fn one_address_holds_so_many_connections_and_all_together_so_many() {
    use crate::places::{ALL, ONE};
    let folder = folder_of("many", 1);
    let serving = serve_dir(&folder, 0).unwrap();
    let port = serving.port();
    let first: Vec<_> = (0..600)
        .map(|_| connect_from([127, 0, 0, 1], port))
        .collect();
    // Those beyond are closed at once; reading waits for just that.
    assert!(first[ONE..].iter().all(is_closed));
    assert_eq!(serving.places.taken(), ONE);
    // Somebody else is answered all the same, and so is one of those that were let in.
    let other = connect_from([127, 0, 0, 2], port);
    for stream in [&other, &first[0], &first[ONE - 1]] {
        ask_and_stay(stream);
        assert!(answered(stream));
    }
    // Many addresses together.
    let others: Vec<Vec<_>> = (3..=11)
        .map(|host| {
            (0..ONE)
                .map(|_| connect_from([127, 0, 0, host], port))
                .collect()
        })
        .collect();
    let last = others.last().unwrap();
    assert!(
        last.iter().all(is_closed),
        "{} are open",
        serving.places.taken()
    );
    assert_eq!(serving.places.taken(), ALL);
    // Whoever goes makes room.
    drop(others);
    let again = loop {
        let stream = connect_from([127, 0, 0, 12], port);
        ask_and_stay(&stream);
        if answered(&stream) {
            break stream;
        }
    };
    drop((again, first, other, serving));
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn who_says_nothing_half_a_thing_or_never_listens_is_let_go() {
    const BIG: usize = 64 << 20;
    let folder = folder_of("slow", BIG);
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap();
    let address = listener.local_addr().unwrap();
    let connect = |words: &str| {
        let mut stream = TcpStream::connect(address).unwrap();
        stream.write_all(words.as_bytes()).unwrap();
        stream
    };
    let silent: Vec<_> = (0..20).map(|_| connect("")).collect();
    let half = connect("GET / HTTP/1.1\r\nHost: loc");
    let stays = connect("GET / HTTP/1.1\r\nHost: localhost\r\n\r\n");
    let deaf = connect("GET /big.wasm HTTP/1.1\r\nHost: localhost\r\n\r\n");
    // A clock that jumps to the next moment at which anything is due, whenever nothing else is to be done.
    let mut jumping = Builder::new_current_thread();
    jumping.start_paused(true);
    let serving = start_on(&mut jumping, listener, folder.as_path().into()).unwrap();
    let mut text = String::new();
    (&stays).read_to_string(&mut text).unwrap();
    assert!(
        text.starts_with("HTTP/1.1 200") && text.ends_with("home"),
        "{text}"
    );
    assert!(silent.iter().all(is_closed));
    let mut said = Vec::new();
    // Closed with a word or without, but closed.
    let _reset = (&half).read_to_end(&mut said);
    while serving.places.taken() > 0 {
        thread::yield_now();
    }
    let mut got = Vec::new();
    let _cut = (&deaf).read_to_end(&mut got);
    assert!(
        got.starts_with(b"HTTP/1.1 200") && got.len() < BIG,
        "{} bytes",
        got.len()
    );
    drop(serving);
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_large_file_comes_whole_and_a_shrinking_one_is_never_taken_for_whole() {
    const BIG: usize = (3 << 20) + 17;
    let folder = folder_of("large", BIG);
    let serving = serve_dir(&folder, 0).unwrap();
    let ask = |line: &str| {
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, serving.port())).unwrap();
        write!(
            stream,
            "{line} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
        )
        .unwrap();
        stream
    };
    let mut bytes = Vec::new();
    ask("GET /big.wasm").read_to_end(&mut bytes).unwrap();
    let head = bytes.len() - BIG;
    let words = String::from_utf8_lossy(&bytes[..head]).into_owned();
    assert!(
        words.contains(&format!("Content-Length: {BIG}\r\n")),
        "{words}"
    );
    assert!(bytes[head..].iter().all(|byte| *byte == 7));
    let mut bytes = Vec::new();
    ask("HEAD /big.wasm").read_to_end(&mut bytes).unwrap();
    assert!(bytes.ends_with(b"\r\n\r\n") && bytes.len() < 1000);

    // It shrinks while it goes out to one that has not begun to listen.
    fs::write(folder.join("big.wasm"), vec![7; 64 << 20]).unwrap();
    let mut stream = ask("GET /big.wasm");
    stream.read_exact(&mut [0; 15]).unwrap();
    File::options()
        .write(true)
        .open(folder.join("big.wasm"))
        .unwrap()
        .set_len(1)
        .unwrap();
    let mut rest = Vec::new();
    let _cut = stream.read_to_end(&mut rest);
    assert!(rest.len() < 64 << 20, "{}", rest.len());
    drop(serving);
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn every_file_comes_with_the_policy_and_only_the_frame_may_be_framed() {
    let folder = folder_of("policy", 1);
    for name in ["frame.html", "sw.js", "board-worker.js"] {
        fs::write(folder.join(name), "x").unwrap();
    }
    let serving = serve_dir(&folder, 0).unwrap();
    for (path, alone) in [
        ("/", true),
        ("/index.html", true),
        ("/sw.js", true),
        ("/board-worker.js", true),
        ("/big.wasm", true),
        ("/frame.html?stage=dry", false),
        ("/nothing", true),
    ] {
        let said = ask(serving.port(), &format!("GET {path}"));
        assert!(
            said.contains(&format!("Content-Security-Policy: {}\r\n", policy::POLICY)),
            "{path}: {said}"
        );
        assert_eq!(said.contains(policy::ALONE), alone, "{path}: {said}");
    }
    drop(serving);
    fs::remove_dir_all(folder).unwrap();
}
