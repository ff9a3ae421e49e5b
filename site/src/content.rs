//! The content of an answer: a few words, or a file that is read piece by piece as it goes out.

use std::fs::File;
use std::io::{self, Read};
use std::mem;
use std::pin::Pin;
use std::task::{Context, Poll, ready};

use hyper::body::{Body, Bytes, Frame, SizeHint};
use tokio::task::{JoinHandle, spawn_blocking};

/// How much of a file is in memory at once for each connection.
const PIECE: u64 = 64 * 1024;

/// A file on its way out.
pub(crate) struct Content {
    /// Bytes that have not gone out yet.
    left: u64,
    state: State,
}

enum State {
    Waiting(File),
    Reading(JoinHandle<io::Result<(File, Bytes)>>),
    Over,
}

impl Content {
    /// So many bytes of a file.
    pub(crate) fn of(file: File, size: u64) -> Self {
        Self {
            left: size,
            state: State::Waiting(file),
        }
    }
}

impl Body for Content {
    type Data = Bytes;
    type Error = io::Error;

    fn poll_frame(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<io::Result<Frame<Bytes>>>> {
        let this = self.get_mut();
        if let State::Waiting(_) = this.state
            && this.left > 0
            && let State::Waiting(file) = mem::replace(&mut this.state, State::Over)
        {
            let size = this.left.min(PIECE);
            this.state = State::Reading(spawn_blocking(move || piece(file, size)));
        }
        let State::Reading(reading) = &mut this.state else {
            return Poll::Ready(None);
        };
        let read = ready!(Pin::new(reading).poll(context));
        this.state = State::Over;
        let (file, bytes) = read.map_err(io::Error::from).flatten()?;
        this.left -= bytes.len() as u64;
        this.state = State::Waiting(file);
        Poll::Ready(Some(Ok(Frame::data(bytes))))
    }

    fn is_end_stream(&self) -> bool {
        self.left == 0
    }

    fn size_hint(&self) -> SizeHint {
        SizeHint::with_exact(self.left)
    }
}

/// The next piece; a file that became shorter meanwhile ends the answer, so that nobody takes it for whole.
fn piece(mut file: File, size: u64) -> io::Result<(File, Bytes)> {
    let mut bytes = Vec::new();
    (&mut file).take(size).read_to_end(&mut bytes)?;
    if bytes.len() as u64 == size {
        Ok((file, bytes.into()))
    } else {
        Err(io::ErrorKind::UnexpectedEof.into())
    }
}
