//! The replay for C, as `plant.h` declares it. One replay a process, one thread.
#![allow(unsafe_code, reason = "a C interface takes bare pointers")]
use crate::replay::Replay;
use ringfence::plant::state::{COMMON_SLOTS, PlantState, StateVector};
use std::ffi::{CStr, c_char, c_int, c_long};
use std::path::Path;
use std::slice::{from_raw_parts, from_raw_parts_mut};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, AtomicI64, AtomicUsize, Ordering::Relaxed};

/// Slots of physics: those ahead of the ledger.
const PHYSICS: usize = 8;

static REPLAY: OnceLock<Replay> = OnceLock::new();
static TICK: AtomicUsize = AtomicUsize::new(0);
static WITH_LEDGER: AtomicBool = AtomicBool::new(true);
static EVALUATIONS: AtomicI64 = AtomicI64::new(0);

/// Records the replay; 0 when it is there.
///
/// # Safety
/// `scenario` is a path as a string that ends with a zero.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn plant_load(scenario: *const c_char, with_ledger: c_int) -> c_int {
    // SAFETY: promised by the caller
    let path = unsafe { CStr::from_ptr(scenario) };
    let Ok(path) = path.to_str() else { return 1 };
    WITH_LEDGER.store(with_ledger != 0, Relaxed);
    match Replay::record(Path::new(path)) {
        Ok(replay) => c_int::from(REPLAY.set(replay).is_err()),
        Err(_) => 1,
    }
}

/// Number of ticks; 0 before the replay is there.
#[unsafe(no_mangle)]
pub extern "C" fn plant_ticks() -> c_int {
    REPLAY
        .get()
        .map_or(0, |r| c_int::try_from(r.inputs.len()).unwrap_or(c_int::MAX))
}

/// Length of a tick \[s\].
#[unsafe(no_mangle)]
pub extern "C" fn plant_tick_s() -> f64 {
    REPLAY.get().map_or(f64::NAN, |r| r.tick_s)
}

/// Length of the state vector.
#[unsafe(no_mangle)]
pub extern "C" fn plant_slots() -> c_int {
    let slots = if WITH_LEDGER.load(Relaxed) {
        COMMON_SLOTS
    } else {
        PHYSICS
    };
    slots as c_int
}

/// Lays the input of a tick; time starts at zero with it.
#[unsafe(no_mangle)]
pub extern "C" fn plant_set_input(tick: c_int) {
    TICK.store(usize::try_from(tick).unwrap_or(0), Relaxed);
}

/// Evaluations so far.
#[unsafe(no_mangle)]
pub extern "C" fn plant_evaluations() -> c_long {
    EVALUATIONS.load(Relaxed) as c_long
}

/// Writes the scaled state at the start; 0 when it is there.
///
/// # Safety
/// `y` has room for `plant_slots()` numbers.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn plant_start(y: *mut f64) -> c_int {
    let Some(replay) = REPLAY.get() else { return 1 };
    let slots = plant_slots() as usize;
    // SAFETY: promised by the caller
    let y = unsafe { from_raw_parts_mut(y, slots) };
    let start = replay.start.to_vector::<COMMON_SLOTS>();
    y.copy_from_slice(&start.as_slice()[..slots]);
    0
}

/// Rates of the scaled state some time into the tick; 1 where one is no number.
///
/// # Safety
/// `y` holds and `dy` has room for `plant_slots()` numbers.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn plant_rhs(since_s: f64, y: *const f64, dy: *mut f64) -> c_int {
    let Some(replay) = REPLAY.get() else { return 1 };
    EVALUATIONS.store(EVALUATIONS.load(Relaxed) + 1, Relaxed);
    if WITH_LEDGER.load(Relaxed) {
        // SAFETY: promised by the caller
        unsafe { rates::<COMMON_SLOTS>(replay, since_s, y, dy) }
    } else {
        // SAFETY: promised by the caller
        unsafe { rates::<PHYSICS>(replay, since_s, y, dy) }
    }
}

/// The rates of the first `N` slots.
///
/// # Safety
/// `y` holds and `dy` has room for `N` numbers.
unsafe fn rates<const N: usize>(
    replay: &Replay,
    since_s: f64,
    y: *const f64,
    dy: *mut f64,
) -> c_int {
    // SAFETY: promised by the caller
    let (y, dy) = unsafe { (from_raw_parts(y, N), from_raw_parts_mut(dy, N)) };
    let state = PlantState::from_vector(&StateVector::<N>::from_column_slice(y));
    let input = replay.input_at(TICK.load(Relaxed), since_s);
    let point = replay.plant.evaluate(&state, &input);
    let rates = replay.plant.rates(&point).to_vector::<N>();
    dy.copy_from_slice(rates.as_slice());
    c_int::from(!dy.iter().all(|x| x.is_finite()))
}
