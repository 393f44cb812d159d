//! What a carried roast keeps the same: the roaster's choice.

/// Activation energy, in J/mol, that weighs temperatures in [`Keep::BrowningWork`]. Assumed: published values for browning in foods
/// spread over about 80 to 160 kJ/mol (from memory, none seen for coffee in hot air), and this is their middle.
pub const BROWNING_ACTIVATION_J_PER_MOL: f64 = 120_000.0;

/// What stays the same between two coffees, machines or rooms.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum Keep {
    /// The bean's centre goes through the same temperatures at the same times.
    #[default]
    CoreHistory,
    /// Surface and centre stay as far apart as they were at each place of the curve; time stretches.
    SurfaceToCore,
    /// The curve and its marks stay; only the heater's effort changes.
    PhaseClock,
    /// The heat that works on the beans from colour change to the drop, weighed by temperature, stays the same.
    BrowningWork,
}

impl Keep {
    /// All four; the default first.
    pub const ALL: [Self; 4] = [
        Self::CoreHistory,
        Self::SurfaceToCore,
        Self::PhaseClock,
        Self::BrowningWork,
    ];

    /// The word that names it on the command line.
    pub fn key(self) -> &'static str {
        match self {
            Self::CoreHistory => "core",
            Self::SurfaceToCore => "spread",
            Self::PhaseClock => "clock",
            Self::BrowningWork => "browning",
        }
    }

    /// Its label.
    pub fn label(self) -> &'static str {
        match self {
            Self::CoreHistory => "Core history",
            Self::SurfaceToCore => "Surface to core",
            Self::PhaseClock => "Phase clock",
            Self::BrowningWork => "Browning work",
        }
    }

    /// What stays equal, in one sentence.
    pub fn sentence(self) -> &'static str {
        match self {
            Self::CoreHistory => {
                "The centre of the beans goes through the same temperatures at the same times."
            }
            Self::SurfaceToCore => {
                "Surface and centre stay as far apart at each temperature as they were, so time stretches."
            }
            Self::PhaseClock => {
                "The curve and the times at its marks stay, and only the heater's effort changes."
            }
            Self::BrowningWork => {
                "The heat that works on the beans from colour change to the drop, each second weighed by its temperature (120 kJ/mol, assumed), adds up to the same."
            }
        }
    }
}
