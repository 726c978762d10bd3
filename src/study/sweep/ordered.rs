//! Pieces of work in parallel, handed on in their order, with few in flight.
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::sync::{Condvar, Mutex, PoisonError};
use std::time::Duration;

/// So many pieces for each thread may wait for a slower one ahead of them.
const AHEAD: u64 = 64;
/// How often the taker is told that nothing has come.
const BEAT: Duration = Duration::from_millis(500);

/// Takes finished pieces, in order.
pub trait Taker<T> {
    /// Why it takes no more.
    type Error;

    /// One piece; the next one has the next number.
    fn take(&mut self, number: u64, piece: T) -> Result<(), Self::Error>;

    /// Nothing has come for a while.
    fn rest(&mut self) -> Result<(), Self::Error> {
        Ok(())
    }
}

/// What the threads share.
struct Desk<'a> {
    next: AtomicU64,
    end: u64,
    /// Pieces from this number on have to wait.
    open_below: Mutex<u64>,
    opened: Condvar,
    stop: &'a AtomicBool,
    over: AtomicBool,
}

impl Desk<'_> {
    fn stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed) || self.over.load(Ordering::Relaxed)
    }

    /// The next number, once it may be worked on. A number that was taken inside the
    /// window is worked on even after a stop: none is missing below it then.
    fn next(&self) -> Option<u64> {
        if self.stopped() {
            return None;
        }
        let number = self.next.fetch_add(1, Ordering::Relaxed);
        if number >= self.end {
            return None;
        }
        let open = self.open_below.lock();
        let mut open = open.unwrap_or_else(PoisonError::into_inner);
        while number >= *open && !self.stopped() {
            let waited = self.opened.wait_timeout(open, BEAT);
            open = waited.unwrap_or_else(PoisonError::into_inner).0;
        }
        (number < *open).then_some(number)
    }

    fn open(&self, below: u64) {
        *self
            .open_below
            .lock()
            .unwrap_or_else(PoisonError::into_inner) = below;
        self.opened.notify_all();
    }
}

/// Does the pieces of a range on as many threads as the pool has and hands each to the
/// taker on this thread, in order. Set `stop` to begin no more: those begun are finished,
/// and handed on as far as none is missing. Returns the number after the last one
/// that was taken.
///
/// # Errors
/// Whatever the taker says; no more is begun then.
pub fn in_order<T: Send, K: Taker<T>>(
    range: Range<u64>,
    stop: &AtomicBool,
    work: impl Fn(u64) -> T + Sync,
    taker: &mut K,
) -> Result<u64, K::Error> {
    let threads = rayon::current_num_threads() as u64;
    let ahead = AHEAD * threads;
    let desk = Desk {
        next: AtomicU64::new(range.start),
        end: range.end,
        open_below: Mutex::new(range.start.saturating_add(ahead)),
        opened: Condvar::new(),
        stop,
        over: AtomicBool::new(false),
    };
    let (send, receive) = channel();
    // threads of their own: they wait for one another, which would block a pool
    std::thread::scope(|scope| {
        for _ in 0..threads {
            let (send, desk, work): (Sender<(u64, T)>, _, _) = (send.clone(), &desk, &work);
            scope.spawn(move || {
                while let Some(number) = desk.next() {
                    if send.send((number, work(number))).is_err() {
                        return;
                    }
                }
            });
        }
        drop(send);
        let mut waiting = BTreeMap::new();
        let mut wanted = range.start;
        let taken = loop {
            match receive.recv_timeout(BEAT) {
                Ok((number, piece)) => {
                    waiting.insert(number, piece);
                }
                Err(RecvTimeoutError::Timeout) => {
                    if let Err(error) = taker.rest() {
                        break Err(error);
                    }
                }
                Err(RecvTimeoutError::Disconnected) => break Ok(wanted),
            }
            let mut failed = None;
            while let Some(piece) = waiting.remove(&wanted) {
                if let Err(error) = taker.take(wanted, piece) {
                    failed = Some(error);
                    break;
                }
                wanted += 1;
            }
            if let Some(error) = failed {
                break Err(error);
            }
            desk.open(wanted.saturating_add(ahead));
        };
        desk.over.store(true, Ordering::Relaxed);
        desk.opened.notify_all();
        taken
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Numbers(Vec<u64>, usize);

    impl Taker<u64> for Numbers {
        type Error = ();

        fn take(&mut self, number: u64, piece: u64) -> Result<(), ()> {
            assert_eq!(piece, number * number);
            self.0.push(number);
            if self.0.len() == self.1 {
                Err(())
            } else {
                Ok(())
            }
        }
    }

    #[test]
    fn pieces_come_in_order_although_some_are_slow() {
        let stop = AtomicBool::new(false);
        let work = |number: u64| {
            if number.is_multiple_of(97) {
                std::thread::sleep(Duration::from_millis(3));
            }
            number * number
        };
        let mut taker = Numbers(Vec::new(), usize::MAX);
        assert_eq!(in_order(5..1005, &stop, work, &mut taker), Ok(1005));
        assert!(taker.0.iter().copied().eq(5..1005));
    }

    /// Called from inside a pool of a single thread it must not wait for that thread.
    #[test]
    fn it_works_inside_a_pool() {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(1)
            .build()
            .unwrap();
        let stop = AtomicBool::new(false);
        let mut taker = Numbers(Vec::new(), usize::MAX);
        let done = pool.install(|| in_order(0..100, &stop, |n| n * n, &mut taker));
        assert_eq!(done, Ok(100));
    }

    #[test]
    fn no_piece_runs_far_ahead_of_the_one_that_is_wanted() {
        let stop = AtomicBool::new(false);
        let threads = rayon::current_num_threads() as u64;
        let (first, furthest) = (AtomicBool::new(false), AtomicU64::new(0));
        let work = |number: u64| {
            if number == 0 {
                // long enough for the others to run into the end of the window
                std::thread::sleep(Duration::from_millis(100));
                first.store(true, Ordering::SeqCst);
            } else if !first.load(Ordering::SeqCst) {
                furthest.fetch_max(number, Ordering::SeqCst);
            }
            number * number
        };
        let mut taker = Numbers(Vec::new(), usize::MAX);
        assert_eq!(in_order(0..5000, &stop, work, &mut taker), Ok(5000));
        assert!(furthest.load(Ordering::SeqCst) < AHEAD * threads);
    }

    #[test]
    fn a_stop_and_a_refusal_end_the_work() {
        let stop = AtomicBool::new(false);
        let work = |number: u64| {
            if number == 300 {
                stop.store(true, Ordering::Relaxed);
            }
            number * number
        };
        let mut taker = Numbers(Vec::new(), usize::MAX);
        let next = in_order(0..1_000_000, &stop, work, &mut taker).unwrap();
        assert!((300..2000).contains(&next), "{next}");
        let mut taker = Numbers(Vec::new(), 10);
        let never = AtomicBool::new(false);
        let refused = in_order(0..1_000_000, &never, |n| n * n, &mut taker);
        assert_eq!(refused, Err(()));
        assert_eq!(taker.0.len(), 10);
    }
}
