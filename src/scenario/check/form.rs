//! The controller's form: one of those there are, and the numbers that it takes.

use super::Checker;
use crate::control::{ControllerForm, ControllerForms};
use crate::scenario::document::{Fault, nearest};
use crate::scenario::file::OwnNumbers;

const FORM: &str = "controller.form";
const OWN: &str = "controller.own";

/// Holds the form and its own numbers against the forms there are.
pub fn form(c: &mut Checker, forms: &ControllerForms) {
    let name = c
        .get::<String>(FORM)
        .unwrap_or_else(|| crate::control::BUILT_IN.to_owned());
    let Some(chosen) = forms.of(&name) else {
        return c.refuse(FORM, unknown(&name, forms));
    };
    for (number, value) in c.get::<OwnNumbers>(OWN).unwrap_or_default().0 {
        if let Some(fault) = wrong(chosen, &number, value) {
            c.refuse(&format!("{OWN}.{number}"), fault);
        }
    }
}

fn unknown(name: &str, forms: &ControllerForms) -> Fault {
    let names = forms.names();
    let hint = match nearest(name, &names) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "other controllers come with a program that brings them along".to_owned(),
    };
    Fault::new(
        format!("this program has no controller `{name}`"),
        listed(&names),
        hint,
    )
}

fn wrong(form: &ControllerForm, number: &str, value: f64) -> Option<Fault> {
    let names: Vec<&str> = form.numbers().iter().map(|n| n.name).collect();
    let Some(known) = form.numbers().iter().find(|n| n.name == number) else {
        let allowed = match names.is_empty() {
            true => "no numbers of its own".to_owned(),
            false => listed(&names),
        };
        let hint = match nearest(number, &names) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "remove it, or choose the controller that takes it with `form`".to_owned(),
        };
        let message = format!("the controller `{}` takes no `{number}`", form.name());
        return Some(Fault::new(message, allowed, hint).reading(number));
    };
    let (least, most) = (known.least, known.most);
    (!(least..=most).contains(&value)).then(|| {
        Fault::new(
            format!("`{number}` is out of range"),
            format!("from {least} to {most}"),
            known.says,
        )
    })
}

fn listed(names: &[&str]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    quoted.join(", ")
}
