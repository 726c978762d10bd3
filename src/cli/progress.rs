//! A progress bar on standard error, on a terminal, for what takes longer than
//! a second.
use std::sync::Mutex;
use std::sync::mpsc::{Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::screen::Screen;
use crate::study::progress::Progress;

/// Work shorter than this shows nothing.
const PATIENCE: Duration = Duration::from_secs(1);
/// How often the bar is drawn while nothing finishes.
const BEAT: Duration = Duration::from_millis(200);

/// The bar; without a terminal it does nothing.
pub struct Bar {
    what: &'static str,
    template: &'static str,
    shown: bool,
    running: Mutex<Option<Running>>,
}

struct Running {
    bar: ProgressBar,
    finished: Sender<()>,
    waiting: JoinHandle<()>,
}

impl Bar {
    /// A bar for pieces of work that are called `what`.
    pub fn new(screen: &Screen, what: &'static str) -> Self {
        Self {
            what,
            template: "  {msg} {wide_bar} {pos}/{len}, {elapsed}",
            shown: screen.shows_progress(),
            running: Mutex::new(None),
        }
    }

    /// A bar that also tells the pace and the time left, for long work.
    pub fn paced(screen: &Screen, what: &'static str) -> Self {
        Self {
            template: "  {msg} {wide_bar} {pos}/{len}, {per_sec}, {eta} left",
            ..Self::new(screen, what)
        }
    }

    /// So many pieces were finished before; they say nothing about the pace.
    pub fn skip(&self, pieces: u64) {
        if let Ok(running) = self.running.lock()
            && let Some(running) = running.as_ref()
        {
            running.bar.set_position(pieces);
            running.bar.reset_eta();
        }
    }
}

impl Progress for Bar {
    fn begin(&self, pieces: usize) {
        if !self.shown {
            return;
        }
        let bar = ProgressBar::with_draw_target(Some(pieces as u64), ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template(self.template) {
            bar.set_style(style);
        }
        bar.set_message(self.what);
        let (finished, rest) = channel();
        let seen = bar.clone();
        let waiting = std::thread::spawn(move || {
            let over = rest.recv_timeout(PATIENCE).is_ok();
            if !over {
                seen.set_draw_target(ProgressDrawTarget::stderr());
                seen.enable_steady_tick(BEAT);
            }
        });
        if let Ok(mut running) = self.running.lock() {
            *running = Some(Running {
                bar,
                finished,
                waiting,
            });
        }
    }

    fn advance(&self) {
        if !self.shown {
            return;
        }
        if let Ok(running) = self.running.lock()
            && let Some(running) = running.as_ref()
        {
            running.bar.inc(1);
        }
    }

    fn end(&self) {
        let Some(running) = self.running.lock().ok().and_then(|mut r| r.take()) else {
            return;
        };
        // the thread may be past its wait already
        let _ = running.finished.send(());
        let _ = running.waiting.join();
        running.bar.finish_and_clear();
    }
}
