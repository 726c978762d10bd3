//! The lift-off plant at held shaft speed, stepped in time by a classical
//! Runge-Kutta method of its own, so that nothing of the run's integration counts.
use crate::shipped::setup;
use ringfence::plant::duct::ChargeDuct;
use ringfence::plant::state::{PlantState, SLOTS, StateVector};
use ringfence::plant::{Plant, PlantInput, PlantPoint, StateGuess};

/// The shipped lift-off.
pub const LIFT_OFF: &str = "scenarios/lift-off.yaml";
/// Shaft speed of the lift-off \[rad/s\]: 120 krpm.
pub const SPEED_RAD_S: f64 = 12_566.0;
/// Step \[s\]: a hundredth of the fastest time constant of the column and less.
const STEP_S: f64 = 2e-5;

/// A duct, a volume behind it and an engine that swallows little.
pub struct Tube {
    pub plant: Plant,
    pub input: PlantInput,
}

/// What the flow did once the first cycles were over.
#[derive(Debug, Clone, Copy)]
pub struct Swing {
    /// Frequency of upward passages through the mean flow; none without any.
    pub frequency_hz: Option<f64>,
    pub lowest_kg_s: f64,
    /// Of the duct on the volume, at the mean speed of sound there.
    pub helmholtz_hz: f64,
    pub greitzer_b: f64,
}

impl Tube {
    /// The lift-off plant with another volume \[l\], length \[m\], area \[cm²\];
    /// the shaft is so heavy that its speed holds.
    pub fn new(volume_l: f64, length_m: f64, area_cm2: f64, engine_rpm: f64) -> Self {
        let mut plant = setup(LIFT_OFF, &[]).rig.plant;
        plant.intake.volume_m3 = volume_l * 1e-3;
        plant.duct = Some(ChargeDuct {
            length_m,
            area_m2: area_cm2 * 1e-4,
        });
        plant.shaft.inertia_kg_m2 = 1e6;
        let input = PlantInput {
            engine_speed_rad_s: engine_rpm * std::f64::consts::PI / 30.0,
            fuel_kg: 10e-6,
            advance_deg: 5.0,
            vane_command: 0.3,
            ..PlantInput::default()
        };
        Self { plant, input }
    }

    /// A state at an intake pressure \[Pa\], its flow on the stable branch.
    pub fn state(&self, intake_pa: f64) -> PlantState {
        let guess = StateGuess {
            intake_pressure_pa: intake_pa,
            intake_temperature_k: 310.0,
            exhaust_pressure_pa: 120e3,
            exhaust_temperature_k: 600.0,
            exhaust_burned: 0.3,
            shaft_speed_rad_s: SPEED_RAD_S,
            vane_closed: self.input.vane_command,
        };
        self.plant.with_settled_duct(self.plant.state_at(&guess))
    }

    pub fn point(&self, state: &PlantState) -> PlantPoint {
        self.plant.evaluate(state, &self.input)
    }

    fn rates(&self, y: &StateVector<SLOTS>) -> StateVector<SLOTS> {
        let state = PlantState::from_vector(y);
        self.plant.rates(&self.point(&state)).to_vector()
    }

    fn step(&self, y: &StateVector<SLOTS>) -> StateVector<SLOTS> {
        let k1 = self.rates(y);
        let k2 = self.rates(&(y + k1 * (0.5 * STEP_S)));
        let k3 = self.rates(&(y + k2 * (0.5 * STEP_S)));
        let k4 = self.rates(&(y + k3 * STEP_S));
        y + (k1 + (k2 + k3) * 2.0 + k4) * (STEP_S / 6.0)
    }

    /// Lets the flow swing; the first half of the time is left to settle.
    pub fn swing(&self, time_s: f64) -> Swing {
        let mut y: StateVector<SLOTS> = self.state(210e3).to_vector();
        let steps = (time_s / STEP_S) as usize;
        let (mut flows, mut sound) = (Vec::new(), 0.0);
        for i in 0..steps {
            y = self.step(&y);
            if i < steps / 2 {
                continue;
            }
            let state = PlantState::from_vector(&y);
            let gas = self.plant.intake.gas_state(&self.plant.gas, &state.intake);
            let r = gas.properties.gas_constant_j_kg_k;
            let gamma = gas.properties.cp_j_kg_k / (gas.properties.cp_j_kg_k - r);
            sound += (gamma * r * gas.temperature_k).sqrt();
            flows.push(state.extras.duct_flow_kg_s);
        }
        let sound_m_s = sound / flows.len() as f64;
        let duct = self.plant.duct.expect("it has one");
        let tip_m_s = self.plant.shaft.tip_speed_m_s(SPEED_RAD_S);
        let volume_m3 = self.plant.intake.volume_m3;
        // written out, so that the plant's own formula is checked too
        let helmholtz_hz =
            sound_m_s / std::f64::consts::TAU * (duct.area_m2 / (volume_m3 * duct.length_m)).sqrt();
        assert!((duct.helmholtz_hz(volume_m3, sound_m_s) / helmholtz_hz - 1.0).abs() < 1e-12);
        Swing {
            frequency_hz: frequency_hz(&flows),
            lowest_kg_s: flows.iter().copied().fold(f64::INFINITY, f64::min),
            helmholtz_hz,
            greitzer_b: duct.greitzer_b(volume_m3, sound_m_s, tip_m_s),
        }
    }
}

/// From the first to the last upward passage through the mean; none for a swing
/// of less than a thousandth of the mean.
fn frequency_hz(flows: &[f64]) -> Option<f64> {
    let mean = flows.iter().sum::<f64>() / flows.len() as f64;
    let off = flows.iter().map(|f| (f - mean).abs()).fold(0.0, f64::max);
    if off < 1e-3 * mean.abs() {
        return None;
    }
    let passages: Vec<usize> = (1..flows.len())
        .filter(|&i| flows[i - 1] < mean && flows[i] >= mean)
        .collect();
    let (first, last) = (passages.first()?, passages.last()?);
    let periods = (passages.len() - 1) as f64;
    (periods > 0.0).then(|| periods / ((last - first) as f64 * STEP_S))
}
