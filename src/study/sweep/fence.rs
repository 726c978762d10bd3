//! A panic in one case is that case's answer, not the end of the sweep.
use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind, set_hook, take_hook};
use std::sync::Once;

thread_local! {
    static FENCED: Cell<bool> = const { Cell::new(false) };
}

/// Does something; the error is what a panic in it said.
///
/// # Errors
/// The work panicked.
pub fn fenced<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    quiet();
    FENCED.set(true);
    // what the work has changed is thrown away with it
    let done = catch_unwind(AssertUnwindSafe(work));
    FENCED.set(false);
    done.map_err(|said| {
        let text = said
            .downcast_ref::<&str>()
            .map(|text| (*text).to_owned())
            .or_else(|| said.downcast_ref::<String>().cloned());
        text.unwrap_or_else(|| "no words".to_owned())
    })
}

/// Keeps fenced panics from writing to the terminal; all others still do.
fn quiet() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let before = take_hook();
        set_hook(Box::new(move |info| {
            if !FENCED.get() {
                before(info);
            }
        }));
    });
}

#[cfg(test)]
mod tests {
    use super::fenced;

    #[test]
    fn a_panic_is_an_error_and_the_next_work_goes_on() {
        let number = 3;
        assert_eq!(
            fenced(|| panic!("no {number}")),
            Err::<(), _>("no 3".to_owned())
        );
        assert_eq!(fenced(|| panic!("plain")), Err::<(), _>("plain".to_owned()));
        assert_eq!(fenced(|| 4), Ok(4));
    }
}
