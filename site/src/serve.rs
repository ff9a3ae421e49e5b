//! A small server for the built page: files only, right types, nothing kept by the browser but what the page asks for.

use std::fs::File;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpStream};
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;
use std::thread::{self, JoinHandle};
use std::time::Duration;

use tiny_http::{Header, Method, Request, Response, Server};

use crate::{Result, Trouble};

/// How many ports above the wished one are tried.
const PORTS: u16 = 20;
/// How many requests are answered at a time.
const WORKERS: usize = 4;

/// A running server; it stops when dropped.
pub struct Serving {
    server: Option<Arc<Server>>,
    workers: Vec<JoinHandle<()>>,
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
        for worker in self.workers.drain(..) {
            let _ended = worker.join();
        }
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        if let Some(server) = self.server.take() {
            self.workers.iter().for_each(|_| server.unblock());
        }
        self.join();
        // The last owner is gone; the listening thread closes its socket a moment later.
        let probe = SocketAddr::new(Ipv4Addr::LOCALHOST.into(), self.port());
        for _ in 0..100 {
            if TcpStream::connect_timeout(&probe, Duration::from_millis(50)).is_err() {
                break;
            }
            thread::sleep(Duration::from_millis(10));
        }
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
    let server =
        (port..=port.saturating_add(PORTS)).find_map(|port| Server::http((host, port)).ok());
    let server = Arc::new(server.ok_or_else(|| {
        Trouble::new(format!(
            "No port from {port} on is free: close another server, or choose one with --port."
        ))
    })?);
    let address = server
        .server_addr()
        .to_ip()
        .unwrap_or(SocketAddr::new(host, port));
    let folder: Arc<Path> = folder.into();
    let workers = (0..WORKERS)
        .map(|_| {
            let (server, folder) = (Arc::clone(&server), Arc::clone(&folder));
            thread::spawn(move || {
                while let Ok(request) = server.recv() {
                    answer(request, &folder);
                }
            })
        })
        .collect();
    Ok(Serving {
        server: Some(server),
        workers,
        address,
    })
}

fn answer(request: Request, folder: &Path) {
    let readable = matches!(request.method(), Method::Get | Method::Head);
    let found = file_for(request.url())
        .map(|path| folder.join(path))
        .and_then(|path| {
            let path = if path.is_dir() {
                path.join("index.html")
            } else {
                path
            };
            File::open(&path)
                .ok()
                .filter(|_| path.is_file())
                .map(|file| (path, file))
        });
    // A browser that goes away before the answer is its own affair.
    let _gone = match found {
        _ if !readable => request.respond(
            Response::from_string("Only reading is possible here.\n").with_status_code(405),
        ),
        None => request
            .respond(Response::from_string("There is no such page here.\n").with_status_code(404)),
        Some((path, file)) => {
            let mut response = Response::from_file(file);
            for (name, value) in [
                ("Content-Type", kind(&path)),
                ("Cache-Control", "no-cache"),
                ("X-Content-Type-Options", "nosniff"),
            ] {
                if let Ok(header) = Header::from_bytes(name, value) {
                    response.add_header(header);
                }
            }
            request.respond(response)
        }
    };
}

/// The path inside the folder that a request names; none when it would leave the folder or names a hidden file.
fn file_for(url: &str) -> Option<PathBuf> {
    let path = url.split(['?', '#']).next().unwrap_or_default();
    let path = PathBuf::from(decode(path.strip_prefix('/')?)?);
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
        "txt" | "ts" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;
    use std::io::{Read, Write};

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
}
