//! Surge cycles: how fast, how deep.
use crate::tube::Tube;

#[test]
fn explore() {
    for (v, l, a) in [
        (24.0, 1.2, 20.0), (12.0, 1.2, 20.0), (48.0, 1.2, 20.0), (24.0, 2.4, 20.0),
        (6.0, 2.0, 20.0), (3.0, 1.2, 20.0), (2.0, 2.0, 30.0), (1.0, 3.0, 30.0), (0.5, 3.0, 30.0),(0.25, 3.0, 30.0),
        (24.0, 0.6, 40.0),
    ] {
        let s = Tube::new(v, l, a, 900.0).swing(2.0);
        println!("{v} {l} {a}: {s:?} ratio {:?}", s.frequency_hz.map(|f| f / s.helmholtz_hz));
    }
}
