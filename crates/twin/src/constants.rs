//! Physical constants and coefficients, one a line: unit, source, range.

/// 0 °C in K; exact by definition.
pub(crate) const ZERO_C_K: f64 = 273.15;
/// Molar gas constant, in J/(mol K); SI 2019, from memory.
pub(crate) const GAS_J_PER_MOL_K: f64 = 8.314_462_618;

/// Joules in a kilowatt-hour; exact by definition.
pub const J_PER_KWH: f64 = 3.6e6;

/// Sea-level pressure, in Pa; ISO 2533:1975.
pub(crate) const ISA_PRESSURE_PA: f64 = 101_325.0;
/// Sea-level temperature, in K; ISO 2533:1975.
pub(crate) const ISA_TEMP_K: f64 = 288.15;
/// Fall of temperature with altitude, in K/m; ISO 2533:1975, up to 11 km.
pub(crate) const ISA_LAPSE_K_PER_M: f64 = 0.0065;
/// Standard gravity, in m/s²; ISO 2533:1975.
pub(crate) const ISA_GRAVITY_M_PER_S2: f64 = 9.806_65;
/// Specific gas constant of dry air, in J/(kg K); ISO 2533:1975.
pub(crate) const DRY_AIR_GAS_J_PER_KG_K: f64 = 287.052_87;
/// Molar mass of water over that of dry air; from memory.
pub(crate) const WATER_TO_AIR_MOLAR_MASS: f64 = 0.621_945;
/// Magnus saturation pressure at 0 °C, in Pa; Alduchov and Eskridge 1996, from memory, -40 to 50 °C.
pub(crate) const MAGNUS_PA: f64 = 610.94;
/// Magnus exponent; as above.
pub(crate) const MAGNUS_A: f64 = 17.625;
/// Magnus temperature, in °C; as above.
pub(crate) const MAGNUS_B_C: f64 = 243.04;
/// Saturation line of water, coefficients 1 to 10 of region 4; IAPWS-IF97, from memory, 611 to 22,000,000 Pa.
pub(crate) const BOILING: [f64; 10] = [
    0.116_705_214_527_67e4,
    -0.724_213_167_032_06e6,
    -0.170_738_469_400_92e2,
    0.120_208_247_024_70e5,
    -0.323_255_503_223_33e7,
    0.149_151_086_135_30e2,
    -0.482_326_573_615_91e4,
    0.405_113_405_420_57e6,
    -0.238_555_575_678_49,
    0.650_175_348_447_98e3,
];
/// Sutherland viscosity of air: coefficient, in Pa s K^(-1/2); from memory (ICAO and US standard atmospheres use it).
pub(crate) const SUTHERLAND_PA_S: f64 = 1.458e-6;
/// Sutherland viscosity of air: temperature, in K; as above.
pub(crate) const SUTHERLAND_K: f64 = 110.4;
/// Conductivity of air: coefficient, in W m^(-1) K^(-3/2); from memory (US Standard Atmosphere 1976).
pub(crate) const CONDUCTIVITY_W_PER_M_K: f64 = 2.646_38e-3;
/// Conductivity of air: temperature, in K; as above.
pub(crate) const CONDUCTIVITY_K: f64 = 245.4;
/// Conductivity of air: temperature in the power of ten, in K; as above.
pub(crate) const CONDUCTIVITY_POWER_K: f64 = 12.0;
/// Heat capacity of air, in J/(kg K); one value for all: within 1.3 % of the reference equation at 250-500 K, 3.3 % low at 600 K.
pub(crate) const AIR_HEAT_J_PER_KG_K: f64 = 1017.0;

/// Ranz and Marshall 1952: Nusselt number of a sphere in still air; from memory.
pub(crate) const RANZ_MARSHALL_STILL: f64 = 2.0;
/// Ranz and Marshall 1952: coefficient of Re^(1/2) Pr^(1/3); from memory.
pub(crate) const RANZ_MARSHALL_FLOW: f64 = 0.6;

/// Heat capacity of dry bean matter at 0 °C, in J/(kg K); Schwartzberg 2002, from memory.
pub(crate) const BEAN_HEAT_J_PER_KG_K: f64 = 1099.0;
/// Its rise with temperature, in J/(kg K) per °C; as above.
pub(crate) const BEAN_HEAT_RISE_J_PER_KG_K2: f64 = 7.0;
/// Heat capacity of the water in the bean, in J/(kg K); as above.
pub(crate) const BEAN_WATER_HEAT_J_PER_KG_K: f64 = 5000.0;
/// Heat to drive water off including its binding, in J/kg; from memory.
pub(crate) const DRYING_HEAT_J_PER_KG: f64 = 2.79e6;
/// Drying law: prefactor for a diameter in mm, in mm²/s; Schwartzberg 2002, from memory, restated second-hand.
pub(crate) const DRYING_PREFACTOR_MM2_PER_S: f64 = 4.32e9;
/// Drying law: activation temperature, in K; as above.
pub(crate) const DRYING_ACTIVATION_K: f64 = 9889.0;
/// Roasting exotherm: prefactor, in W per kg of dry matter; as above, low confidence.
pub(crate) const EXOTHERM_PREFACTOR_W_PER_KG: f64 = 116.2e6;
/// Roasting exotherm: activation temperature, in K; as above, low confidence.
pub(crate) const EXOTHERM_ACTIVATION_K: f64 = 5500.0;
/// Heat that roasting can set free, in J per kg of dry matter; as above, low confidence.
pub(crate) const EXOTHERM_TOTAL_J_PER_KG: f64 = 232e3;
/// Dry-matter loss: rate at [`DRY_LOSS_REFERENCE_K`], in 1/s; our own fit to weight losses that are common practice, no published source; low confidence.
pub(crate) const DRY_LOSS_RATE_PER_S: f64 = 4.0e-4;
/// Dry-matter loss: temperature of that rate, in K; our own fit, low confidence.
pub(crate) const DRY_LOSS_REFERENCE_K: f64 = 480.15;
/// Dry-matter loss: activation temperature, in K (130 kJ/mol over the gas constant); our own fit, low confidence.
pub(crate) const DRY_LOSS_ACTIVATION_K: f64 = 130_000.0 / GAS_J_PER_MOL_K;
/// Dry-matter loss: most that can go, as a share; our own fit, low confidence.
pub(crate) const DRY_LOSS_CEILING: f64 = 0.25;

/// Wen and Yu 1966: first constant of the minimum fluidising Reynolds number; +-25 % typical scatter (from memory).
pub(crate) const WEN_YU_A: f64 = 33.7;
/// Wen and Yu 1966: second constant; as above.
pub(crate) const WEN_YU_B: f64 = 0.0408;
/// Ergun 1952: viscous coefficient of the pressure drop; from memory.
pub(crate) const ERGUN_VISCOUS: f64 = 150.0;
/// Ergun 1952: inertial coefficient; as above.
pub(crate) const ERGUN_INERTIAL: f64 = 1.75;
/// Haider and Levenspiel 1989, drag of a sphere, `24/Re (1 + A Re^B) + C/(1 + D/Re)`: A; from memory, Re below 2.6e5.
pub(crate) const HAIDER_LEVENSPIEL_A: f64 = 0.1806;
/// B; as above.
pub(crate) const HAIDER_LEVENSPIEL_B: f64 = 0.6459;
/// C; as above.
pub(crate) const HAIDER_LEVENSPIEL_C: f64 = 0.4251;
/// D; as above.
pub(crate) const HAIDER_LEVENSPIEL_D: f64 = 6880.95;

/// Growth of a bean's diameter by the end of a roast, as a share; from the porosities 9.8 % green and 34.2 % roasted of Oliveros
/// et al. 2017 (abstract) if the solid keeps its volume: (0.902/0.658)^(1/3) - 1. Only the lift of the bed uses it.
pub(crate) const SWELLING: f64 = 0.111;
/// Weight loss, as a share, at which a bean has swollen fully; the diameter grows in proportion before. Assumed.
pub(crate) const SWOLLEN_AT_LOSS: f64 = 0.14;
