//! From what to what, in one line.

use chaffinch_craft::Plan;

/// “Ember ridge → Low meadow; another room: Upland”; or what to do while nothing differs.
pub(super) fn line(from: &Plan, to: &Plan) -> String {
    let mut parts = Vec::new();
    if from.lot != to.lot {
        parts.push(pair("Coffee", &from.lot.name, &to.lot.name));
    }
    if from.machine != to.machine {
        parts.push(pair("Machine", &from.machine.name, &to.machine.name));
    }
    if from.room != to.room {
        parts.push(pair("Room", &from.room.name, &to.room.name));
    }
    if parts.is_empty() {
        return "Rework this plan for another coffee, machine or room: say on the left what it is carried to."
            .to_owned();
    }
    parts.join("; ")
}

fn pair(sheet: &str, from: &str, to: &str) -> String {
    let named = |name: &str| {
        if name.is_empty() {
            "unnamed".to_owned()
        } else {
            name.to_owned()
        }
    };
    if from == to {
        let name = named(from);
        format!("{sheet}: {name}, other numbers")
    } else {
        format!("{sheet}: {} → {}", named(from), named(to))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chaffinch_craft::PlanParts;

    #[test]
    fn only_sheets_that_differ_are_named() -> Result<(), Box<dyn std::error::Error>> {
        let from = Plan::fresh();
        assert!(line(&from, &from).contains("on the left"), "what to do");
        let mut parts: PlanParts = from.clone().into_parts();
        "Low meadow".clone_into(&mut parts.lot.name);
        parts.room.numbers.set(
            chaffinch_craft::RoomNumber::Altitude,
            Some(chaffinch_craft::Given {
                value: 2400.0,
                knowledge: chaffinch_craft::Knowledge::Measured,
            }),
        );
        let to = Plan::new(parts)?;
        let said = line(&from, &to);
        assert!(said.contains("→ Low meadow"), "{said}");
        assert!(said.contains("; Room: "), "{said}");
        assert!(said.ends_with("other numbers"), "{said}");
        assert!(!said.contains("Machine"), "{said}");
        Ok(())
    }
}
