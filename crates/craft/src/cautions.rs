//! The usual cautions of roasting, in plain words.
//!
//! Common practice and common sense; the machine's manual, local codes and licensed practice always come first.

/// One caution: what can happen and what to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// A few words that name it.
    pub heading: &'static str,
    /// What can happen, and what people do about it.
    pub text: &'static str,
}

/// All cautions, in the order in which the window shows them.
pub const CAUTIONS: [Caution; 5] = [
    Caution {
        heading: "Fire",
        text: "Chaff and hot beans can catch fire. Empty the chaff collector before every roast, never leave a running roast unattended, stay below your machine's temperature ceiling, and keep within reach what your machine's manual names for putting a fire out.",
    },
    Caution {
        heading: "Burns",
        text: "Beans, chamber and exhaust stay hot long after the drop. Cool the batch at once and let the machine run its own cooling before you touch it.",
    },
    Caution {
        heading: "Smoke and carbon monoxide",
        text: "Roasting gives off smoke and carbon monoxide, and roasted coffee goes on giving it off while it rests. Vent outdoors, keep a carbon monoxide alarm in the room, and don't rest large amounts in a small closed space.",
    },
    Caution {
        heading: "Electricity and heat",
        text: "A heater at full power loads the circuit it hangs on. Follow the machine's rating plate and the rules for the building; leave wiring and ducting to people licensed for it.",
    },
    Caution {
        heading: "What this program knows",
        text: "It draws, reckons and forecasts; it doesn't watch your machine. The forecast is a planning aid and no safety device, and nothing here says that a roast is safe. Where this program and your machine's manual or local rules disagree, the manual and the rules are right.",
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_danger_is_told() {
        let all = CAUTIONS
            .map(|caution| caution.text)
            .join(" ")
            .to_lowercase();
        for word in [
            "chaff",
            "smoke",
            "carbon monoxide",
            "stay hot",
            "unattended",
            "ceiling",
            "no safety device",
        ] {
            assert!(all.contains(word), "no caution speaks of “{word}”: {all}");
        }
    }
}
