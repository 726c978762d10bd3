//! What a controller must not order. The built-in one never does; one that somebody
//! else wrote may.
use super::sample::PROTECTIONS;
use crate::control::Orders;

/// An order that no engine can carry out, or that cannot be judged.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("the controller {what} at {time_s:.3} s")]
pub struct BadOrders {
    /// What it did, in words.
    pub what: String,
    /// When \[s\].
    pub time_s: f64,
}

/// Refuses orders that are no numbers or outside what there is, and protections
/// that act or are blind without being listed.
pub fn sound(orders: &Orders, blind: u8, listed: u8, time_s: f64) -> Result<(), BadOrders> {
    let bad = |what: String| Err(BadOrders { what, time_s });
    let numbers = [
        ("vane command", orders.vane_command),
        ("fuel", orders.fuel_kg),
        ("timing", orders.advance_deg),
        ("recirculation", orders.recirculation_open),
        ("integral part", orders.integrator),
        ("boost command", orders.boost_command_pa.unwrap_or(0.0)),
    ];
    if let Some((what, value)) = numbers.iter().find(|(_, value)| !value.is_finite()) {
        return bad(format!("ordered a {what} of {value}"));
    }
    if orders.fuel_kg < 0.0 {
        return bad(format!(
            "ordered {:.3} mg of fuel per injection",
            1e6 * orders.fuel_kg
        ));
    }
    if !(0.0..=1.0).contains(&orders.recirculation_open) {
        return bad(format!(
            "ordered the recirculation valve {:.1} % open",
            100.0 * orders.recirculation_open
        ));
    }
    let unlisted = (orders.active | blind) & !listed;
    if unlisted != 0 {
        let bit = unlisted.trailing_zeros() as usize;
        let name = PROTECTIONS
            .get(bit)
            .copied()
            .unwrap_or("a protection without a name");
        return bad(format!(
            "reports {name}, which is not among its protections,"
        ));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(orders: Orders, blind: u8, listed: u8) -> Option<String> {
        sound(&orders, blind, listed, 1.5)
            .err()
            .map(|bad| bad.to_string())
    }

    #[test]
    fn bad_orders_are_named() {
        let good = Orders {
            fuel_kg: 1e-4,
            vane_command: 1.3,
            active: 2,
            ..Orders::default()
        };
        assert_eq!(
            said(good, 0, 2),
            None,
            "the actuator's stops hold the vanes"
        );
        let lost = Orders {
            vane_command: f64::NAN,
            ..good
        };
        assert_eq!(
            said(lost, 0, 2).unwrap(),
            "the controller ordered a vane command of NaN at 1.500 s"
        );
        for bad in [
            Orders {
                fuel_kg: -1e-6,
                ..good
            },
            Orders {
                fuel_kg: f64::INFINITY,
                ..good
            },
            Orders {
                recirculation_open: 1.01,
                ..good
            },
            Orders {
                boost_command_pa: Some(f64::NAN),
                ..good
            },
        ] {
            assert!(said(bad, 0, 2).is_some(), "{bad:?}");
        }
        assert!(said(good, 0, 0).unwrap().contains("pinned_sensor"));
        assert!(
            said(good, 0b100_0000, 2)
                .unwrap()
                .contains("without a name")
        );
    }
}
