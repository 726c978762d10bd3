//! How far a step of one unit reaches on the scale of another.
use super::parse;

/// How many steps of the unit `of` one step of `unit` is; `None` where no kind of
/// quantity has both. Zeros do not count: one `K` is one step of `degC`, and a step
/// of pressure is the same whether `of` counts `abs` or `gauge`. Two empty texts
/// stand for bare numbers.
///
/// ```
/// use ringfence::quantity::steps;
/// assert_eq!(steps("ms", "s"), Some(1e-3));
/// assert_eq!(steps("K", "degC"), Some(1.0));
/// assert_eq!(steps("kPa", "K"), None);
/// ```
pub fn steps(unit: &str, of: &str) -> Option<f64> {
    let unit = parse::plain_spelling(unit);
    let (of, _) = parse::split_reference(&parse::plain_spelling(of));
    if unit.is_empty() && of.is_empty() {
        return Some(1.0);
    }
    super::kinds().into_iter().find_map(|kind| {
        let (one, other) = (parse::find(kind, &unit)?, parse::find(kind, &of)?);
        let size = |unit: &super::Unit| unit.to_si(1.0) - unit.to_si(0.0);
        // the same unit is one step exactly, whatever its offset rounds to
        Some(if one == other {
            1.0
        } else {
            size(one) / size(other)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::steps;

    #[test]
    fn a_step_has_no_zero_and_no_reference() {
        assert_eq!(steps("kPa", "kPa abs"), Some(1.0));
        assert_eq!(steps("kPa", "bar gauge"), Some(0.01));
        assert_eq!(steps("%", "%"), Some(1.0));
        assert_eq!(steps("", ""), Some(1.0));
        let kelvin = steps("K", "degF").unwrap();
        assert!((kelvin - 1.8).abs() < 1e-12, "{kelvin}");
        let celsius = steps("K", "degC").unwrap();
        assert!((celsius - 1.0).abs() < 1e-12, "{celsius}");
    }

    #[test]
    fn units_of_two_kinds_have_no_steps() {
        for (unit, of) in [("kPa", "K"), ("", "%"), ("mm", ""), ("kPa abs", "kPa abs")] {
            assert_eq!(steps(unit, of), None, "{unit} of {of}");
        }
    }
}
