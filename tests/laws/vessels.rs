//! Filling, emptying and spinning up against closed forms.
//!
//! The volume, the nozzle, the shaft and the engine's breathing are the
//! project's; only the balances are put together here, and the solver is the
//! crate that the simulation uses. A perfect gas stands in for the working gas,
//! because the closed forms are those of constant heat capacity.
use crate::reference::{Row, number, rows};
use ode_solvers::dop_shared::{OutputType, Stats};
use ode_solvers::{Dopri5, SVector, System};
use ringfence::gas::WorkingGas;
use ringfence::gas::nozzle::{Reservoir, mass_flow_between};
use ringfence::map::Table1;
use ringfence::plant::engine::{
    Breathing, EngineDemand, EngineForm, EngineGeometry, Friction, LimitedPressureCycle,
    MeanValueEngine,
};
use ringfence::plant::shaft::Shaft;
use ringfence::plant::state::Content;
use ringfence::plant::volume::{GasState, Thermal, Volume};
use std::f64::consts::PI;

/// Relative tolerance of the solver: far below the 1e-6 that is asked for.
const TIGHT: f64 = 1e-11;
/// Air that burns a mass of fuel; no fuel burns here.
pub const NO_MATTER: f64 = 14.5;

/// A few states.
pub type State<const N: usize> = SVector<f64, N>;

/// A system given by a closure over the state, scaled to sizes near one.
struct Rates<F, const N: usize> {
    rates: F,
    scale: State<N>,
}

impl<F: Fn(State<N>) -> State<N>, const N: usize> System<f64, State<N>> for Rates<F, N> {
    fn system(&self, _: f64, y: &State<N>, dy: &mut State<N>) {
        *dy = (self.rates)(y.component_mul(&self.scale)).component_div(&self.scale);
    }
}

/// The state after `time_s`. Each slot is scaled by its start value.
pub fn integrate<F: Fn(State<N>) -> State<N>, const N: usize>(
    rates: F,
    start: State<N>,
    scale: State<N>,
    time_s: f64,
) -> State<N> {
    if time_s == 0.0 {
        return start;
    }
    let system = Rates { rates, scale };
    let y = start.component_div(&scale);
    let mut solver = Dopri5::from_param(
        system,
        0.0,
        time_s,
        time_s,
        y,
        TIGHT,
        TIGHT,
        0.9,
        0.04,
        0.2,
        10.0,
        time_s,
        0.0,
        100_000,
        u32::MAX,
        OutputType::Sparse,
    );
    let _: Stats = solver.integrate().expect("a smooth problem integrates");
    solver
        .y_out()
        .last()
        .expect("there is an end")
        .component_mul(&scale)
}

/// One side of an opening.
pub fn side(at: &GasState) -> Reservoir {
    Reservoir {
        pressure_pa: at.pressure_pa,
        temperature_k: at.temperature_k,
        gas_constant_j_kg_k: at.properties.gas_constant_j_kg_k,
        gamma: at.properties.gamma,
    }
}

/// A rigid vessel with an opening to somewhere.
struct Vessel {
    gas: WorkingGas,
    volume: Volume,
    area_m2: f64,
    back_pa: f64,
    /// Kept at its first temperature from outside.
    isothermal_k: Option<f64>,
}

impl Vessel {
    fn of(row: &Row, back_pa: f64) -> (Self, State<2>) {
        let gas = WorkingGas::perfect(number(row, "R"), number(row, "gamma"), NO_MATTER);
        let volume = Volume {
            volume_m3: number(row, "V_m3"),
            wall_loss_w_k: 0.0,
            thermal: Thermal::EnergyBalance,
        };
        let t0 = number(row, "T0_K");
        let full = volume.content_at(&gas, number(row, "p0_Pa"), t0, 0.0);
        let vessel = Vessel {
            gas,
            volume,
            area_m2: number(row, "CdA_m2"),
            back_pa,
            isothermal_k: (row["mode"] == "isothermal").then_some(t0),
        };
        (vessel, State::<2>::new(full.mass_kg, full.energy_j))
    }

    fn inside(&self, y: State<2>) -> GasState {
        let mass_kg = y[0];
        let energy_j = match self.isothermal_k {
            None => y[1],
            Some(t) => mass_kg * self.gas.internal_energy_j_kg(t, 0.0),
        };
        let content = Content {
            mass_kg,
            energy_j,
            burned_kg: 0.0,
        };
        self.volume.gas_state(&self.gas, &content)
    }

    fn outflow_kg_s(&self, y: State<2>) -> f64 {
        let here = side(&self.inside(y));
        let outside = Reservoir {
            pressure_pa: self.back_pa,
            ..here
        };
        mass_flow_between(self.area_m2, here, outside)
    }

    fn rates(&self, y: State<2>) -> State<2> {
        let flow = self.outflow_kg_s(y);
        State::<2>::new(-flow, -flow * self.inside(y).properties.enthalpy_j_kg)
    }

    fn after(&self, start: State<2>, time_s: f64) -> State<2> {
        integrate(|y| self.rates(y), start, start.abs(), time_s)
    }
}

/// Choked discharge into a vacuum: Bird, Stewart & Lightfoot, Transport
/// Phenomena, section 15.5. Pressure, temperature and flow within 1e-6.
#[test]
fn choked_discharge_of_a_vessel() {
    let mut proof = crate::proof::row("vessel-choked");
    for row in rows("d_discharge.csv") {
        let (vessel, full) = Vessel::of(&row, 0.0);
        let y = vessel.after(full, number(&row, "t_s"));
        let inside = vessel.inside(y);
        proof.relative(inside.pressure_pa, number(&row, "p_Pa"), &row);
        proof.relative(inside.temperature_k, number(&row, "T_K"), &row);
        let flow = vessel.outflow_kg_s(y);
        proof.relative(flow, number(&row, "mdot_out_kg_s"), &row);
    }
    proof.done();
}

/// Emptying through choked and then subsonic flow: quadrature with mpmath, which
/// its head calls good to 1e-4; the time is found by marching and then Newton.
#[test]
fn time_to_empty_a_vessel() {
    let mut proof = crate::proof::row("vessel-time");
    for row in rows("d_time_to.csv") {
        let (vessel, full) = Vessel::of(&row, number(&row, "p_back_Pa"));
        let end_pa = number(&row, "p_end_Pa");
        let stride_s = 0.25 * full[0] / vessel.outflow_kg_s(full);
        let (mut y, mut time_s) = (full, 0.0);
        loop {
            let next = vessel.after(y, stride_s);
            if vessel.inside(next).pressure_pa < end_pa {
                break;
            }
            (y, time_s) = (next, time_s + stride_s);
        }
        let pressure_after = |dt: f64| vessel.inside(vessel.after(y, dt)).pressure_pa;
        let (mut low, mut high) = (0.0, stride_s);
        while high - low > 1e-9 * stride_s {
            let middle = 0.5 * (low + high);
            if pressure_after(middle) > end_pa {
                low = middle;
            } else {
                high = middle;
            }
        }
        proof.relative(time_s + low, number(&row, "time_s"), &row);
    }
    proof.done();
}

/// An engine that only breathes.
fn breathing_engine(displacement_m3: f64, volumetric_efficiency: f64) -> MeanValueEngine {
    MeanValueEngine {
        geometry: EngineGeometry {
            cylinders: 8.0,
            displacement_m3,
            stroke_m: 0.1,
            compression_ratio: 16.0,
        },
        breathing: Breathing {
            filling: ringfence::plant::engine::Filling::Table(Table1::constant(
                volumetric_efficiency,
            )),
            back_pressure_effect: 0.0,
        },
        cycle: LimitedPressureCycle {
            compression_ratio: 16.0,
            constant_volume_share: 0.3,
            reference_timing_deg: 0.0,
            share_per_degree: 0.0,
            compression_exponent: 1.35,
            expansion_exponent: 1.3,
            wall_loss: 0.0,
            late_burning_below_lambda: 1.0,
            late_burning: 0.0,
        },
        friction: Friction {
            constant_pa: 0.0,
            peak_pressure_share: 0.0,
            per_piston_speed_pa_s_m: 0.0,
            per_piston_speed_squared_pa_s2_m2: 0.0,
        },
        lower_heating_value_j_kg: 42.5e6,
        port_loss_w_k: 0.0,
        coolant_k: 360.0,
    }
}

/// Intake volume at constant temperature, constant inflow, an engine that draws
/// by speed and density: an exponential. Guzzella & Onder, Introduction to
/// Modeling and Control of Internal Combustion Engine Systems (2010), ch. 2.
#[test]
fn intake_manifold_with_speed_density_engine() {
    let mut proof = crate::proof::row("vessel-intake");
    let gas = WorkingGas::perfect(287.0, 1.4, NO_MATTER);
    for row in rows("d_manifold.csv") {
        let volume = Volume {
            volume_m3: number(&row, "V_m3"),
            wall_loss_w_k: 0.0,
            thermal: Thermal::EnergyBalance,
        };
        let engine = breathing_engine(number(&row, "Vd_m3"), number(&row, "vol_eff"));
        let temperature_k = number(&row, "T_K");
        let state = |mass_kg: f64| {
            let content = Content {
                mass_kg,
                energy_j: mass_kg * gas.internal_energy_j_kg(temperature_k, 0.0),
                burned_kg: 0.0,
            };
            volume.gas_state(&gas, &content)
        };
        let drawn_kg_s = |intake: &GasState| {
            let demand = EngineDemand {
                gas: &gas,
                intake,
                exhaust: intake,
                speed_rad_s: number(&row, "rpm") * PI / 30.0,
                fuel_kg: 0.0,
                advance_deg: 0.0,
            };
            engine.operate(&demand).intake_flow_kg_s
        };
        let inflow = number(&row, "mdot_in_kg_s");
        let rates = |y: State<1>| State::<1>::new(inflow - drawn_kg_s(&state(y[0])));
        let first = volume.content_at(&gas, number(&row, "p0_Pa"), temperature_k, 0.0);
        let start = State::<1>::new(first.mass_kg);
        let end = integrate(rates, start, start, number(&row, "t_s"));
        let pressure_pa = state(end[0]).pressure_pa;
        proof.relative(pressure_pa, number(&row, "p_Pa"), &row);
        // and where it ends: the engine draws what comes in
        let resting = volume.content_at(&gas, number(&row, "p_final_Pa"), temperature_k, 0.0);
        proof.relative(drawn_kg_s(&state(resting.mass_kg)), inflow, &row);
    }
    proof.done();
}

/// The shaft by its kinetic energy: constant power, constant torque, power less
/// a loss that grows with the square of the speed. Closed forms, 1e-6.
#[test]
fn shaft_spins_up() {
    let mut proof = crate::proof::row("shaft-spin");
    for row in rows("d_shaft.csv") {
        let (a, b) = (number(&row, "a"), number(&row, "b"));
        let shaft = Shaft {
            inertia_kg_m2: number(&row, "J_kgm2"),
            bearing_loss_w_s2: b,
            compressor_wheel_m: 0.07,
            turbine_wheel_m: 0.06,
        };
        let of_torque = row["case"] == "constant_torque";
        let rates = |y: State<1>| {
            let energy_j = y[0];
            let driving_w = if of_torque {
                a * shaft.speed_rad_s(energy_j)
            } else {
                a
            };
            State::<1>::new(driving_w - shaft.bearing_power_w(energy_j))
        };
        let start = State::<1>::new(shaft.energy_j(number(&row, "w0_rad_s")));
        let end = integrate(rates, start, start, number(&row, "t_s"));
        let speed_rad_s = shaft.speed_rad_s(end[0]);
        proof.relative(speed_rad_s, number(&row, "w_rad_s"), &row);
        proof.relative(speed_rad_s * 30.0 / PI, number(&row, "rpm"), &row);
    }
    proof.done();
}
