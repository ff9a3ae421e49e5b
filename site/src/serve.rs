//! A small server for the built page: files only, right types, nothing kept by the browser but what the page asks for.
//!
//! It may stand open to a whole network: connections are counted, those that say nothing are closed, and a file goes out
//! piece by piece.

use std::fs::File;
use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener};
use std::path::{Component, Path, PathBuf};
use std::pin::pin;
use std::sync::Arc;
use std::thread::{self, JoinHandle};
use std::time::Duration;

use http_body_util::{Either, Full};
use hyper::body::{Bytes, Incoming};
use hyper::header::{
    ALLOW, CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HeaderValue, REFERRER_POLICY,
    X_CONTENT_TYPE_OPTIONS,
};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode};
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::runtime::{Builder, Runtime};
use tokio::sync::oneshot;
use tokio::task::spawn_blocking;
use tokio::time::timeout;

use crate::content::Content;
use crate::places::{Place, Places};
use crate::{Result, Trouble, policy};

/// How many ports above the wished one are tried.
const PORTS: u16 = 20;
/// How long to wait when the system gives no connection, as when too many files are open.
const REST: Duration = Duration::from_millis(100);
/// How long a connection may take to ask, the first time and each time after.
const ASKS_WITHIN: Duration = Duration::from_secs(15);
/// How long a connection lasts; then it ends after the answer that is on its way, for which it has as long again.
const LASTS: Duration = Duration::from_secs(120);
/// Files that are read at the same time.
const READERS: usize = 8;
/// The media type of plain words.
const TEXT: &str = "text/plain; charset=utf-8";

/// A running server; it stops when dropped.
pub struct Serving {
    /// Dropping it ends the server.
    running: Option<oneshot::Sender<()>>,
    thread: Option<JoinHandle<()>>,
    address: SocketAddr,
    #[cfg(test)]
    places: Places,
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
    start_on(&mut Builder::new_current_thread(), listener, folder)
}

fn start_on(
    runtime: &mut Builder,
    listener: TcpListener,
    folder: Arc<Path>,
) -> io::Result<Serving> {
    let address = listener.local_addr()?;
    listener.set_nonblocking(true)?;
    let runtime = runtime.enable_all().max_blocking_threads(READERS).build()?;
    let listener = {
        let _inside = runtime.enter();
        tokio::net::TcpListener::from_std(listener)?
    };
    let (running, stopped) = oneshot::channel();
    let places = Places::default();
    let counted = places.clone();
    let thread =
        thread::Builder::new().spawn(move || run(runtime, listener, folder, counted, stopped))?;
    Ok(Serving {
        running: Some(running),
        thread: Some(thread),
        address,
        #[cfg(test)]
        places,
    })
}

/// Answers until `stopped`; the runtime's end closes the listening socket and every connection, idle or not.
fn run(
    runtime: Runtime,
    listener: tokio::net::TcpListener,
    folder: Arc<Path>,
    places: Places,
    stopped: oneshot::Receiver<()>,
) {
    runtime.spawn(async move {
        loop {
            match listener.accept().await {
                // Whoever holds too many connections gets no more until some of them end.
                Ok((stream, from)) => {
                    if let Some(place) = places.take(from.ip()) {
                        tokio::spawn(talk(stream, place, Arc::clone(&folder)));
                    }
                }
                Err(_) => tokio::time::sleep(REST).await,
            }
        }
    });
    let _ended = runtime.block_on(stopped);
}

/// Answers on one connection, as long as it asks.
async fn talk(stream: tokio::net::TcpStream, _place: Place, folder: Arc<Path>) {
    // Without it answers are only slower.
    let _slower = stream.set_nodelay(true);
    let service = service_fn(move |request| answer(request, Arc::clone(&folder)));
    let mut connection = pin!(
        http1::Builder::new()
            .title_case_headers(true)
            .timer(TokioTimer::new())
            .header_read_timeout(ASKS_WITHIN)
            .serve_connection(TokioIo::new(stream), service)
    );
    // A browser that goes away before the answer is its own affair.
    if timeout(LASTS, connection.as_mut()).await.is_err() {
        connection.as_mut().graceful_shutdown();
        let _slow = timeout(LASTS, connection).await;
    }
}

/// What an answer holds.
type Body = Either<Full<Bytes>, Content>;

async fn answer(request: Request<Incoming>, folder: Arc<Path>) -> io::Result<Response<Body>> {
    let words = |text: &'static str| Either::Left(Full::new(Bytes::from_static(text.as_bytes())));
    let path = request.uri().path().to_owned();
    let framed = policy::may_be_framed(path.rsplit('/').next().unwrap_or_default());
    let (status, kind, content) = if !matches!(*request.method(), Method::GET | Method::HEAD) {
        let content = words("Only reading is possible here.\n");
        (StatusCode::METHOD_NOT_ALLOWED, TEXT, content)
    } else if let Some((kind, file)) = spawn_blocking(move || open(&path, &folder)).await? {
        (StatusCode::OK, kind, Either::Right(file))
    } else {
        let content = words("There is no such page here.\n");
        (StatusCode::NOT_FOUND, TEXT, content)
    };
    let mut response = Response::new(content);
    *response.status_mut() = status;
    for (name, value) in [
        (CONTENT_TYPE, kind),
        (CACHE_CONTROL, "no-cache"),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "no-referrer"),
        (CONTENT_SECURITY_POLICY, policy::POLICY),
    ] {
        response
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
    if !framed {
        response.headers_mut().append(
            CONTENT_SECURITY_POLICY,
            HeaderValue::from_static(policy::ALONE),
        );
    }
    if status == StatusCode::METHOD_NOT_ALLOWED {
        response
            .headers_mut()
            .insert(ALLOW, HeaderValue::from_static("GET, HEAD"));
    }
    Ok(response)
}

/// The media type and content of the file that a request names; a folder stands for its `index.html`.
fn open(url: &str, folder: &Path) -> Option<(&'static str, Content)> {
    let mut path = folder.join(file_for(url)?);
    if path.is_dir() {
        path.push("index.html");
    }
    // Looked at before it is opened: what is no file may keep a reader waiting.
    if !path.is_file() {
        return None;
    }
    let file = File::open(&path).ok()?;
    let size = file.metadata().ok()?.len();
    Some((kind(&path), Content::of(file, size)))
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
mod tests;
