//! Filling a vessel from a large supply: the end temperature knows no flow law, the
//! enthalpy that comes in becomes internal energy.
use crate::proof;
use crate::reference::{number, rows};
use crate::vessels::{NO_MATTER, State, integrate, side};
use ringfence::gas::WorkingGas;
use ringfence::gas::nozzle::{Reservoir, mass_flow_between};
use ringfence::plant::state::Content;
use ringfence::plant::volume::{Thermal, Volume};
use std::collections::BTreeMap;

const GAS_CONSTANT: f64 = 287.0;

/// A rigid vessel and its supply.
struct Filling {
    gamma: f64,
    /// Nothing at all is a trace of gas: an empty vessel has no temperature, and
    /// a trace has a share of 1e-9 in the end temperature.
    from_pa: f64,
    from_k: f64,
    to_pa: f64,
    supply_k: f64,
}

impl Filling {
    /// Temperature inside when the pressure is reached.
    fn end_k(&self) -> f64 {
        let gas = WorkingGas::perfect(GAS_CONSTANT, self.gamma, NO_MATTER);
        let volume = Volume {
            volume_m3: 0.01,
            wall_loss_w_k: 0.0,
            thermal: Thermal::EnergyBalance,
        };
        let from_pa = self.from_pa.max(1e-9 * self.to_pa);
        let first = volume.content_at(&gas, from_pa, self.from_k, 0.0);
        let inside = |y: State<2>| {
            let content = Content {
                mass_kg: y[0],
                energy_j: y[1],
                burned_kg: 0.0,
            };
            volume.gas_state(&gas, &content)
        };
        // a supply above the end pressure, so that it is passed on the way
        let supply = Reservoir {
            pressure_pa: 2.0 * self.to_pa,
            temperature_k: self.supply_k,
            gas_constant_j_kg_k: GAS_CONSTANT,
            gamma: self.gamma,
        };
        let rates = |y: State<2>| {
            let flow = mass_flow_between(1e-5, supply, side(&inside(y)));
            State::<2>::new(flow, flow * gas.enthalpy_j_kg(self.supply_k, 0.0))
        };
        let start = State::<2>::new(first.mass_kg, first.energy_j);
        let typical = self.to_pa * volume.volume_m3 / (GAS_CONSTANT * self.supply_k);
        let scale = State::<2>::new(typical, typical * 3e5);
        let after = |t: f64| inside(integrate(rates, start, scale, t));
        let (mut low, mut high) = (0.0, 1.0);
        while after(high).pressure_pa < self.to_pa {
            high *= 2.0;
        }
        for _ in 0..45 {
            let middle = 0.5 * (low + high);
            if after(middle).pressure_pa < self.to_pa {
                low = middle;
            } else {
                high = middle;
            }
        }
        after(low).temperature_k
    }
}

/// Closed form, 1e-6.
#[test]
fn adiabatic_filling_of_a_vessel() {
    let mut proof = proof::row("vessel-filling");
    for row in rows("d_filling.csv") {
        let filling = Filling {
            gamma: number(&row, "gamma"),
            from_pa: number(&row, "p1_Pa"),
            from_k: number(&row, "T1_K"),
            to_pa: number(&row, "p2_Pa"),
            supply_k: number(&row, "T_supply_K"),
        };
        proof.relative(filling.end_k(), number(&row, "T2_K"), &row);
    }
    proof.done();
}

/// Evacuated insulated tanks of textbooks (rows d1, d2).
#[test]
fn worked_tank_filling() {
    let mut proof = proof::row("tank-worked");
    for row in rows("cdef_worked_examples.csv") {
        if !["d1", "d2"].contains(&row["id"].as_str()) {
            continue;
        }
        let given: BTreeMap<String, f64> =
            serde_json::from_str(&row["given"]).expect("inputs are numbers");
        let filling = Filling {
            gamma: given["gamma"],
            from_pa: given["p1"],
            from_k: given["Tin"],
            // d2 asks for no pressure: none enters
            to_pa: given.get("p2").copied().unwrap_or(1e5),
            supply_k: given["Tin"],
        };
        proof.relative(filling.end_k(), number(&row, "published"), &row);
    }
    proof.done();
}
