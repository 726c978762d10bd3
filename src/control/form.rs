//! Which controllers there are, by name, and how one is made.
use super::{BoostController, BoostControllerSettings, Controller};
use std::fmt;
use std::ops::RangeInclusive;
use std::sync::Arc;

/// What the controller of this program is called in a scenario.
pub const BUILT_IN: &str = "built_in";

type Make = dyn Fn(&BoostControllerSettings, &[f64]) -> Box<dyn Controller> + Send + Sync;

/// A number of its own that a form takes from `controller.own` of a scenario.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnNumber {
    /// Its key; ends in the unit that it is given in, such as `_1_s` or `_kpa`.
    pub name: &'static str,
    /// What it is, in some words.
    pub says: &'static str,
    /// What stands where the scenario gives none.
    pub default: f64,
    /// Least value that is allowed.
    pub least: f64,
    /// Greatest value that is allowed.
    pub most: f64,
}

impl OwnNumber {
    /// A number with its key, its words, its default and what is allowed.
    pub const fn new(
        name: &'static str,
        says: &'static str,
        default: f64,
        allowed: RangeInclusive<f64>,
    ) -> Self {
        Self {
            name,
            says,
            default,
            least: *allowed.start(),
            most: *allowed.end(),
        }
    }
}

/// A kind of controller: its name, its own numbers, and how one is made from the
/// settings of a scenario.
///
/// ```
/// use ringfence::control::{BoostController, ControllerForm};
///
/// // the built-in one again, under another name and without its integrator
/// let form = ControllerForm::new("proportional", [], |settings, []| {
///     let mut settings = settings.clone();
///     settings.feedback.integral_1_pa_s = 0.0;
///     BoostController::new(settings)
/// });
/// assert_eq!(form.name(), "proportional");
/// ```
#[derive(Clone)]
pub struct ControllerForm {
    name: Arc<str>,
    numbers: Arc<[OwnNumber]>,
    make: Arc<Make>,
}

impl ControllerForm {
    /// A form of a name. `make` is called for every run and every equilibrium, on
    /// any thread: it must give a controller at rest, and equal ones for equal
    /// settings and numbers. It is handed the values of `numbers` in their order.
    pub fn new<C: Controller + 'static, const N: usize>(
        name: &str,
        numbers: [OwnNumber; N],
        make: impl Fn(&BoostControllerSettings, [f64; N]) -> C + Send + Sync + 'static,
    ) -> Self {
        Self {
            name: name.into(),
            numbers: Arc::new(numbers),
            make: Arc::new(move |settings, values| {
                let values = std::array::from_fn(|k| values.get(k).copied().unwrap_or(f64::NAN));
                Box::new(make(settings, values))
            }),
        }
    }

    /// The controller of this program.
    pub fn built_in() -> Self {
        Self::new(BUILT_IN, [], |settings, []| {
            BoostController::new(settings.clone())
        })
    }

    /// What it is called in a scenario.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Its own numbers.
    pub fn numbers(&self) -> &[OwnNumber] {
        &self.numbers
    }

    /// The form with its own numbers: those given, by name, and the defaults of the
    /// rest. `None` where it has no number of a name that is given, or where a value
    /// is not allowed.
    pub fn with(&self, given: &[(String, f64)]) -> Option<ChosenForm> {
        let mut own: Vec<f64> = self.numbers.iter().map(|number| number.default).collect();
        for (name, value) in given {
            let at = self.numbers.iter().position(|n| n.name == name.as_str())?;
            let allowed = self.numbers[at].least..=self.numbers[at].most;
            own[at] = Some(*value).filter(|value| allowed.contains(value))?;
        }
        Some(ChosenForm {
            form: self.clone(),
            own,
        })
    }
}

impl fmt::Debug for ControllerForm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("ControllerForm").field(&self.name).finish()
    }
}

/// A form with the values of its own numbers: what a rig makes its controllers of.
#[derive(Clone)]
pub struct ChosenForm {
    form: ControllerForm,
    own: Vec<f64>,
}

impl ChosenForm {
    /// The controller of this program.
    pub fn built_in() -> Self {
        Self {
            form: ControllerForm::built_in(),
            own: Vec::new(),
        }
    }

    /// What the form is called.
    pub fn name(&self) -> &str {
        self.form.name()
    }

    /// Whether it is the controller of this program. For words about it alone: what
    /// a study may assume of a controller, the controller says itself.
    pub fn is_built_in(&self) -> bool {
        self.name() == BUILT_IN
    }

    /// A fresh controller, at rest.
    pub fn controller(&self, settings: &BoostControllerSettings) -> Box<dyn Controller> {
        (self.form.make)(settings, &self.own)
    }
}

/// By name and own numbers: a name stands for one form in a set of forms.
impl PartialEq for ChosenForm {
    fn eq(&self, other: &Self) -> bool {
        self.name() == other.name() && self.own == other.own
    }
}

impl fmt::Debug for ChosenForm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("ChosenForm")
            .field(&self.form.name)
            .field(&self.own)
            .finish()
    }
}

/// Why some forms are no set to choose from.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FormProblem {
    /// A name is no word.
    #[error("`{0}` cannot name a controller: lower-case letters, digits and _ make a name")]
    NoName(String),
    /// Two have one name.
    #[error("two controllers are called `{0}`")]
    SameName(String),
    /// A number of a form's own is none.
    #[error(
        "`{number}` of the controller `{form}` is no number to be given: it needs a name of \
         its own and a default between its least and its greatest value"
    )]
    Number {
        /// The form.
        form: String,
        /// The number.
        number: &'static str,
    },
}

/// The controllers that a scenario may choose from, the built-in one among them.
#[derive(Debug, Clone)]
pub struct ControllerForms(Arc<[ControllerForm]>);

impl ControllerForms {
    /// The built-in one and others.
    ///
    /// # Errors
    /// Where a name is none or not the only one, or a number has no sound default.
    pub fn new(others: impl IntoIterator<Item = ControllerForm>) -> Result<Self, FormProblem> {
        let mut forms = vec![ControllerForm::built_in()];
        for form in others {
            if !is_word(form.name()) {
                return Err(FormProblem::NoName(form.name().to_owned()));
            }
            if forms.iter().any(|known| known.name() == form.name()) {
                return Err(FormProblem::SameName(form.name().to_owned()));
            }
            if let Some(bad) = unsound(form.numbers()) {
                return Err(FormProblem::Number {
                    form: form.name().to_owned(),
                    number: bad.name,
                });
            }
            forms.push(form);
        }
        Ok(Self(forms.into()))
    }

    /// The form of a name.
    pub fn of(&self, name: &str) -> Option<&ControllerForm> {
        self.0.iter().find(|form| form.name() == name)
    }

    /// The names, the built-in one first.
    pub fn names(&self) -> Vec<&str> {
        self.0.iter().map(ControllerForm::name).collect()
    }
}

/// The built-in one alone.
impl Default for ControllerForms {
    fn default() -> Self {
        Self(Arc::new([ControllerForm::built_in()]))
    }
}

fn is_word(name: &str) -> bool {
    let letter = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
    name.starts_with(|c: char| c.is_ascii_lowercase()) && name.chars().all(letter)
}

fn unsound(numbers: &[OwnNumber]) -> Option<&OwnNumber> {
    numbers.iter().enumerate().find_map(|(k, number)| {
        let twice = numbers[..k].iter().any(|other| other.name == number.name);
        let allowed = number.least..=number.most;
        let sound = is_word(number.name) && !twice && allowed.contains(&number.default);
        (!sound).then_some(number)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(name: &str, numbers: [OwnNumber; 1]) -> ControllerForm {
        ControllerForm::new(name, numbers, |settings, [_]| {
            BoostController::new(settings.clone())
        })
    }

    const RATE: OwnNumber = OwnNumber::new("rate_1_s", "how fast", 0.5, 0.1..=2.0);

    #[test]
    fn a_name_stands_for_one_sound_form() {
        let forms = ControllerForms::new([form("mine", [RATE])]).unwrap();
        assert_eq!(forms.names(), ["built_in", "mine"]);
        let same = ControllerForms::new([form("built_in", [RATE])]).unwrap_err();
        assert_eq!(same, FormProblem::SameName("built_in".into()));
        let none = ControllerForms::new([form("Two Words", [RATE])]).unwrap_err();
        assert_eq!(none, FormProblem::NoName("Two Words".into()));
        for default in [3.0, f64::NAN] {
            let bad = OwnNumber { default, ..RATE };
            let problem = ControllerForms::new([form("mine", [bad])]).unwrap_err();
            assert!(matches!(problem, FormProblem::Number { .. }));
        }
    }

    #[test]
    fn own_numbers_are_given_by_name_or_stand_at_their_default() {
        let form = form("mine", [RATE]);
        assert_eq!(form.with(&[]).unwrap().own, [0.5]);
        let given = |name: &str, value| form.with(&[(name.to_owned(), value)]);
        assert_eq!(given("rate_1_s", 1.5).unwrap().own, [1.5]);
        assert_eq!(given("rate_1_s", 2.5), None);
        assert_eq!(given("rate_1_s", f64::NAN), None);
        assert_eq!(given("another", 1.0), None);
    }
}
