//! Air, boiling water, fluidisation and heat transfer against reference values.
//! Sources and tolerances: `tests/reference/03_atmosphere`, `04_air`, `07_fluidisation`, each with its README.
#![allow(
    missing_docs,
    clippy::missing_assert_message,
    clippy::unwrap_used,
    reason = "tests"
)]

mod table;

use chaffinch_twin::fluidisation::{Grain, sphere_drag};
use chaffinch_twin::{air, transfer};
use table::{Table, close};

#[test]
fn pressure_follows_the_standard_atmosphere() {
    let table = Table::read("03_atmosphere/isa.csv");
    for [altitude_m, kelvin, p_pa, rho] in
        table.columns(["geopotential_altitude_m", "T_K", "p_Pa", "rho_kg_m3"])
    {
        close(air::standard_pressure_pa(altitude_m), p_pa, 1e-9);
        close(
            air::moist_density_kg_per_m3(p_pa, kelvin - 273.15, 0.0),
            rho,
            1e-9,
        );
    }
    // ISO 2533 as printed, from memory.
    let printed = Table::read("03_atmosphere/isa_table_from_memory.csv");
    for [altitude_m, p_pa] in printed.columns(["geopotential_altitude_m", "p_Pa_printed"]) {
        close(air::standard_pressure_pa(altitude_m), p_pa, 1e-6);
    }
    let back = Table::read("03_atmosphere/pressure_to_altitude.csv");
    for [p_pa, altitude_m] in back.columns(["p_Pa", "geopotential_altitude_m"]) {
        close(air::standard_pressure_pa(altitude_m), p_pa, 1e-9);
    }
}

#[test]
fn water_boils_where_the_formulation_says() {
    let table = Table::read("03_atmosphere/isa.csv");
    for [p_pa, boiling_c] in table.columns(["p_Pa", "water_boiling_C_iapws97"]) {
        assert!((air::boiling_c(p_pa) - boiling_c).abs() < 1e-6, "{p_pa} Pa");
    }
    for [p_pa, boiling_c] in table.columns(["p_Pa", "water_boiling_C_iapws95_coolprop"]) {
        assert!((air::boiling_c(p_pa) - boiling_c).abs() < 0.01, "{p_pa} Pa");
    }
}

#[test]
fn moist_air_density_agrees_with_three_formulations() {
    let table = Table::read("03_atmosphere/moist_air.csv");
    let sources = [
        "rho_psychrolib",
        "rho_coolprop_HA",
        "rho_cipm2007_constants_from_memory",
    ];
    for source in sources {
        for [temp_c, rh, p_pa, rho] in table.columns(["t_C", "rh", "p_Pa", source]) {
            close(air::moist_density_kg_per_m3(p_pa, temp_c, rh), rho, 2e-3);
        }
    }
    for [temp_c, p_sat_pa] in table.columns(["t_C", "p_sat_Pa_psychrolib"]) {
        close(air::saturation_pressure_pa(temp_c), p_sat_pa, 0.01);
    }
}

#[test]
fn air_properties_hold_from_250_to_650_kelvin() {
    let table = Table::read("04_air/air_coolprop.csv");
    let within = |kelvin: &f64| (250.0..=650.0).contains(kelvin);
    let mut seen = 0;
    for [kelvin, cp, mu, k] in table.columns(["T_K", "cp_J_kgK", "mu_Pa_s", "k_W_mK"]) {
        if !within(&kelvin) {
            continue;
        }
        seen += 1;
        close(
            air::viscosity_pa_s(kelvin),
            mu,
            if kelvin <= 500.0 { 0.015 } else { 0.023 },
        );
        close(air::conductivity_w_per_m_k(kelvin), k, 0.014);
        // The model has one heat capacity for all: what that costs.
        close(
            air::HEAT_J_PER_KG_K,
            cp,
            if kelvin <= 500.0 { 0.013 } else { 0.045 },
        );
    }
    assert!(9 <= seen);
    // Incropera and DeWitt, Table A.4, from memory.
    let printed = Table::read("04_air/air_incropera_a4_from_memory.csv");
    for [kelvin, mu, k] in printed.columns(["T_K", "mu_Pa_s", "k_W_mK"]) {
        close(air::viscosity_pa_s(kelvin), mu, 0.015);
        close(air::conductivity_w_per_m_k(kelvin), k, 0.01);
    }
}

#[test]
fn beds_lift_and_fly_at_the_reference_speeds() {
    let table = Table::read("07_fluidisation/bed.csv");
    let names = [
        "d_m",
        "rho_p",
        "voidage",
        "sphericity",
        "rho_f",
        "mu_Pa_s",
        "Ar",
        "u_mf_WenYu_m_s",
        "u_mf_Ergun_m_s",
        "v_t_HaiderLevenspiel_sphere_m_s",
        "dp_fluidised_bed_of_height_L_Pa",
    ];
    for [
        d,
        rho_p,
        voidage,
        sphericity,
        rho,
        mu,
        ar,
        wen_yu,
        ergun,
        terminal,
        weight_pa,
    ] in table.columns(names)
    {
        let grain = Grain {
            diameter_m: d,
            density_kg_per_m3: rho_p,
            gas_kg_per_m3: rho,
            viscosity_pa_s: mu,
        };
        close(grain.archimedes(), ar, 1e-9);
        close(grain.lifting_kg_per_m2_s() / rho, wen_yu, 1e-9);
        close(
            grain.lifting_by_ergun_kg_per_m2_s(voidage, sphericity) / rho,
            ergun,
            1e-6,
        );
        close(grain.terminal_m_per_s(), terminal, 1e-6);
        // The table's bed is 80 mm high.
        close(grain.weight_pa_per_m(voidage) * 0.08, weight_pa, 1e-9);
        // By definition Ergun's drop carries the bed where it lifts.
        close(
            grain.pressure_drop_pa_per_m(ergun, voidage, sphericity) * 0.08,
            weight_pa,
            1e-6,
        );
    }
    let drops = Table::read("07_fluidisation/ergun_dp.csv");
    let names = [
        "d_m",
        "sphericity",
        "voidage",
        "rho_f",
        "mu_Pa_s",
        "L_m",
        "u_superficial_m_s",
        "dp_Pa",
    ];
    for [d, sphericity, voidage, rho, mu, height_m, speed, dp] in drops.columns(names) {
        let grain = Grain {
            diameter_m: d,
            density_kg_per_m3: 1000.0,
            gas_kg_per_m3: rho,
            viscosity_pa_s: mu,
        };
        close(
            grain.pressure_drop_pa_per_m(speed, voidage, sphericity) * height_m,
            dp,
            1e-9,
        );
    }
}

#[test]
fn a_textbook_bed_in_water_lifts_as_printed() {
    // Rhodes, Introduction to Particle Technology, worked example, from memory: void share from the bed's mass and height, then
    // Ergun's drop against the weight; printed 0.365 cm/s.
    let area_m2 = std::f64::consts::PI * 0.0757_f64.powi(2) / 4.0;
    let voidage = 1.0 - 3.6 / (2590.0 * 0.475 * area_m2);
    let grain = Grain {
        diameter_m: 748e-6,
        density_kg_per_m3: 2590.0,
        gas_kg_per_m3: 1000.0,
        viscosity_pa_s: 1e-3,
    };
    close(voidage, 0.3498, 1e-3);
    // Printed with 9.81 m/s².
    close(grain.archimedes(), 6527.0, 1e-3);
    close(
        grain.lifting_by_ergun_kg_per_m2_s(voidage, 1.0) / 1000.0 * 100.0,
        0.365,
        5e-3,
    );
}

#[test]
fn nusselt_and_drag_agree_with_the_references() {
    let table = Table::read("07_fluidisation/nusselt_drag.csv");
    let names = [
        "Re",
        "Pr",
        "Nu_RanzMarshall",
        "Nu_Whitaker_mu_ratio_1",
        "voidage_for_Gunn",
        "Nu_Gunn",
        "Nu_WakaoKagei_ht",
        "Cd_HaiderLevenspiel_fluids",
    ];
    for [
        re,
        pr,
        ranz_marshall,
        whitaker,
        voidage,
        gunn,
        wakao_kagei,
        drag,
    ] in table.columns(names)
    {
        close(transfer::ranz_marshall(re, pr), ranz_marshall, 1e-9);
        close(transfer::whitaker(re, pr), whitaker, 1e-9);
        close(transfer::gunn(re, pr, voidage), gunn, 1e-9);
        close(transfer::wakao_kagei(re, pr), wakao_kagei, 1e-9);
        close(sphere_drag(re), drag, 1e-9);
    }
}
