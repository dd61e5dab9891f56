//! A connection that must keep up: whoever takes an answer too slowly is cut off, so that nobody
//! holds one of the places by reading a byte a minute.

use std::io;
use std::pin::Pin;
use std::task::{Context, Poll};
use std::time::Duration;

use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::time::{Instant, Sleep, sleep};

/// How slowly an answer may be taken.
///
/// The patience is spent while the client takes nothing and grows again with every byte it takes,
/// so a slow line is served for as long as it needs and a standstill is not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pace {
    /// The longest standstill.
    pub patience: Duration,
    /// Bytes that win back a second of it.
    pub bytes_per_second: u32,
}

impl Default for Pace {
    /// Half a minute, and a kilobyte a second (common practice, no source).
    fn default() -> Self {
        Self { patience: Duration::from_secs(30), bytes_per_second: 1_000 }
    }
}

/// A stream whose reader must keep the pace.
#[derive(Debug)]
pub struct Paced<S> {
    stream: S,
    pace: Pace,
    left: Duration,
    waiting: Option<(Instant, Pin<Box<Sleep>>)>,
}

impl<S> Paced<S> {
    /// Holds the other end of this stream to the pace.
    pub fn new(stream: S, pace: Pace) -> Self {
        Self { stream, pace, left: pace.patience, waiting: None }
    }

    /// Nothing can be written now: waits for as long as there is patience.
    fn stands_still<T>(&mut self, context: &mut Context<'_>) -> Poll<io::Result<T>> {
        let left = self.left;
        let (_, timer) =
            self.waiting.get_or_insert_with(|| (Instant::now(), Box::pin(sleep(left))));
        match timer.as_mut().poll(context) {
            Poll::Pending => Poll::Pending,
            Poll::Ready(()) => Poll::Ready(Err(io::Error::new(
                io::ErrorKind::TimedOut,
                "the answer was not taken in time",
            ))),
        }
    }

    fn moved_on(&mut self, bytes: usize) {
        if let Some((since, _)) = self.waiting.take() {
            self.left = self.left.saturating_sub(since.elapsed());
        }
        let won = bytes as f64 / f64::from(self.pace.bytes_per_second.max(1));
        // A single write is far below what a duration holds.
        self.left = (self.left + Duration::from_secs_f64(won)).min(self.pace.patience);
    }

    fn paced<T>(
        &mut self,
        polled: Poll<io::Result<T>>,
        bytes: impl Fn(&T) -> usize,
        context: &mut Context<'_>,
    ) -> Poll<io::Result<T>> {
        match polled {
            Poll::Pending => self.stands_still(context),
            Poll::Ready(done) => {
                self.moved_on(done.as_ref().map_or(0, bytes));
                Poll::Ready(done)
            }
        }
    }
}

impl<S: AsyncRead + Unpin> AsyncRead for Paced<S> {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_read(context, buffer)
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for Paced<S> {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let polled = Pin::new(&mut self.stream).poll_write(context, bytes);
        self.paced(polled, |written| *written, context)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        slices: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let polled = Pin::new(&mut self.stream).poll_write_vectored(context, slices);
        self.paced(polled, |written| *written, context)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let polled = Pin::new(&mut self.stream).poll_flush(context);
        self.paced(polled, |()| 0, context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let polled = Pin::new(&mut self.stream).poll_shutdown(context);
        self.paced(polled, |()| 0, context)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};

    const PACE: Pace = Pace { patience: Duration::from_millis(200), bytes_per_second: 2_000 };

    /// Writes so much to a reader that takes so many bytes every second; gives how it ended and
    /// after how many seconds.
    async fn read_by(bytes: usize, all: usize) -> (io::Result<()>, u64) {
        let (near, mut far) = tokio::io::duplex(64);
        let mut paced = Paced::new(near, Pace::default());
        let reading = tokio::spawn(async move {
            let mut taken = vec![0; bytes];
            while far.read_exact(&mut taken).await.is_ok() {
                sleep(Duration::from_secs(1)).await;
            }
        });
        let begun = Instant::now();
        let written = paced.write_all(&vec![7; all]).await;
        drop(paced);
        reading.abort();
        (written, begun.elapsed().as_secs())
    }

    #[tokio::test(start_paused = true)]
    async fn a_reader_that_keeps_the_pace_is_served_for_hours_and_a_trickle_is_cut_off() {
        let (written, took) = read_by(1_000, 10_000_000).await;
        written.unwrap();
        assert!(took > 9_000, "{took}");
        // Never still for longer than a second, and far below the pace.
        let (written, took) = read_by(100, 10_000_000).await;
        assert_eq!(written.unwrap_err().kind(), io::ErrorKind::TimedOut);
        // Half a minute, and a tenth of a second won back in each.
        assert!((30..=35).contains(&took), "{took}");
    }

    #[test]
    fn what_is_taken_wins_patience_back_up_to_its_measure() {
        let mut paced = Paced::new((), PACE);
        paced.left = Duration::ZERO;
        paced.moved_on(100);
        assert_eq!(paced.left, Duration::from_millis(50));
        paced.moved_on(0);
        assert_eq!(paced.left, Duration::from_millis(50));
        paced.moved_on(10_000);
        assert_eq!(paced.left, PACE.patience);
    }

    #[tokio::test(start_paused = true)]
    async fn a_standstill_is_cut_off_after_half_a_minute() {
        let (near, _far) = tokio::io::duplex(64);
        let mut paced = Paced::new(near, Pace::default());
        let begun = Instant::now();
        let cut = paced.write_all(&[7; 100]).await.unwrap_err();
        assert_eq!(cut.kind(), io::ErrorKind::TimedOut);
        assert_eq!(begun.elapsed().as_secs(), 30);
    }
}
