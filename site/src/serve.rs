//! A small server for the built page: files only, right types, nothing kept by the browser but what the page asks for.

use std::fs;
use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener};
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;
use std::thread::{self, JoinHandle};
use std::time::Duration;

use http_body_util::Full;
use hyper::body::{Bytes, Incoming};
use hyper::header::{ALLOW, CACHE_CONTROL, CONTENT_TYPE, HeaderValue, X_CONTENT_TYPE_OPTIONS};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode};
use hyper_util::rt::TokioIo;
use tokio::runtime::{Builder, Runtime};
use tokio::sync::oneshot;
use tokio::task::spawn_blocking;

use crate::{Result, Trouble};

/// How many ports above the wished one are tried.
const PORTS: u16 = 20;
/// How long to wait when the system gives no connection, as when too many files are open.
const REST: Duration = Duration::from_millis(100);
/// The media type of plain words.
const TEXT: &str = "text/plain; charset=utf-8";

/// A running server; it stops when dropped.
pub struct Serving {
    /// Dropping it ends the server.
    running: Option<oneshot::Sender<()>>,
    thread: Option<JoinHandle<()>>,
    address: SocketAddr,
}

impl Serving {
    /// The port it listens on.
    #[must_use]
    pub const fn port(&self) -> u16 {
        self.address.port()
    }

    /// The page's address on this computer.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://localhost:{}/", self.port())
    }

    /// Serves until the program is ended.
    pub fn wait(mut self) {
        self.join();
    }

    fn join(&mut self) {
        if let Some(thread) = self.thread.take() {
            let _ended = thread.join();
        }
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        drop(self.running.take());
        self.join();
    }
}

/// Serves `folder` on this computer at `port`, or at the next free one; port 0 takes any.
///
/// # Errors
/// When no port is free.
pub fn serve_dir(folder: &Path, port: u16) -> Result<Serving> {
    serve_at(folder, Ipv4Addr::LOCALHOST.into(), port)
}

/// Serves `folder` at the network address `host`.
///
/// # Errors
/// When no port is free.
pub fn serve_at(folder: &Path, host: IpAddr, port: u16) -> Result<Serving> {
    let listener =
        (port..=port.saturating_add(PORTS)).find_map(|port| TcpListener::bind((host, port)).ok());
    let listener = listener.ok_or_else(|| {
        Trouble::new(format!(
            "No port from {port} on is free: close another server, or choose one with --port."
        ))
    })?;
    start(listener, folder.into()).map_err(|cause| {
        Trouble::new(format!(
            "The server could not start: {cause}. Close other programs, then try again."
        ))
    })
}

fn start(listener: TcpListener, folder: Arc<Path>) -> io::Result<Serving> {
    let address = listener.local_addr()?;
    listener.set_nonblocking(true)?;
    let runtime = Builder::new_current_thread().enable_all().build()?;
    let listener = {
        let _inside = runtime.enter();
        tokio::net::TcpListener::from_std(listener)?
    };
    let (running, stopped) = oneshot::channel();
    let thread = thread::Builder::new().spawn(move || run(runtime, listener, folder, stopped))?;
    Ok(Serving {
        running: Some(running),
        thread: Some(thread),
        address,
    })
}

/// Answers until `stopped`; the runtime's end closes the listening socket and every connection, idle or not.
fn run(
    runtime: Runtime,
    listener: tokio::net::TcpListener,
    folder: Arc<Path>,
    stopped: oneshot::Receiver<()>,
) {
    runtime.spawn(async move {
        loop {
            match listener.accept().await {
                Ok((stream, _)) => {
                    // Without it answers are only slower.
                    let _slower = stream.set_nodelay(true);
                    let folder = Arc::clone(&folder);
                    let service = service_fn(move |request| answer(request, Arc::clone(&folder)));
                    let connection = http1::Builder::new()
                        .title_case_headers(true)
                        .serve_connection(TokioIo::new(stream), service);
                    // A browser that goes away before the answer is its own affair.
                    tokio::spawn(async { drop(connection.await) });
                }
                Err(_) => tokio::time::sleep(REST).await,
            }
        }
    });
    let _ended = runtime.block_on(stopped);
}

async fn answer(
    request: Request<Incoming>,
    folder: Arc<Path>,
) -> io::Result<Response<Full<Bytes>>> {
    let (status, kind, content) = if !matches!(*request.method(), Method::GET | Method::HEAD) {
        let words = "Only reading is possible here.\n";
        (StatusCode::METHOD_NOT_ALLOWED, TEXT, words.into())
    } else if let Some((kind, content)) =
        spawn_blocking(move || read(request.uri().path(), &folder)).await?
    {
        (StatusCode::OK, kind, content.into())
    } else {
        let words = "There is no such page here.\n";
        (StatusCode::NOT_FOUND, TEXT, words.into())
    };
    let mut response = Response::new(Full::new(content));
    *response.status_mut() = status;
    for (name, value) in [
        (CONTENT_TYPE, kind),
        (CACHE_CONTROL, "no-cache"),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
    ] {
        response
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
    if status == StatusCode::METHOD_NOT_ALLOWED {
        response
            .headers_mut()
            .insert(ALLOW, HeaderValue::from_static("GET, HEAD"));
    }
    Ok(response)
}

/// The media type and content of the file that a request names; a folder stands for its `index.html`.
fn read(url: &str, folder: &Path) -> Option<(&'static str, Vec<u8>)> {
    let mut path = folder.join(file_for(url)?);
    if path.is_dir() {
        path.push("index.html");
    }
    path.is_file()
        .then(|| fs::read(&path).ok())
        .flatten()
        .map(|content| (kind(&path), content))
}

/// The path inside the folder that a request names; none when it would leave the folder or names a hidden file.
fn file_for(url: &str) -> Option<PathBuf> {
    let path = PathBuf::from(decode(url.strip_prefix('/')?)?);
    let plain = |part: Component<'_>| matches!(part, Component::Normal(name) if !name.to_string_lossy().starts_with('.') && !name.to_string_lossy().contains('\\'));
    path.components().all(plain).then_some(path)
}

/// Undoes percent-encoding.
fn decode(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        bytes.push(match byte {
            b'%' => {
                let digits = [rest.next()?, rest.next()?];
                u8::from_str_radix(std::str::from_utf8(&digits).ok()?, 16).ok()?
            }
            other => other,
        });
    }
    String::from_utf8(bytes).ok()
}

/// The media type of a file, by its ending.
fn kind(path: &Path) -> &'static str {
    match path
        .extension()
        .and_then(|ending| ending.to_str())
        .unwrap_or_default()
    {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "wasm" => "application/wasm",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/vnd.microsoft.icon",
        "woff2" => "font/woff2",
        "txt" | "ts" => TEXT,
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
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

    /// Whether the page, whose last word is `home`, comes within three seconds.
    fn answered(mut stream: &TcpStream) -> bool {
        let limit = Some(Duration::from_secs(3));
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
}
