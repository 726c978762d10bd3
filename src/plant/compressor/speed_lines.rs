//! A compressor from measured speed lines.
//!
//! Three branches join with continuous slope: the measured stable branch
//! (tabulated in `grid`), an artificial branch left of it that rises slightly to
//! zero flow (so that the duct without inertia always has one solution), and a
//! continuation past the last measured point that falls ever more steeply
//! toward the flow that the inlet can pass.

use super::beyond_lines::{LeftOfSurge, PastChoke};
use super::duct::{Duct, DuctPoint};
use super::grid::{Grid, NearCell, Slice, head_of_ratio, ratio_of_head};
use super::root::{Root, falling};
use super::surge::{self, Characteristic, SurgePoint, WheelSizes};
use super::{CompressorDemand, CompressorForm, CompressorPoint, FlowPoint, drawing};
use crate::map::{CompressorMapData, MapDrawing, ReferenceConditions};

/// Flow that the inlet passes at standstill, over the last measured flow of the
/// fastest line. The rotor sees relative stagnation conditions: at blade speed
/// U1 the inlet passes `(1 + 0.2 U1²/a01²)³` times its standstill flow (Dixon &
/// Hall, ch. 7, choking of a rotor inlet, κ 1.4), twice at U1 = 1.14 a01, so
/// that a half is typical of a map that goes to top speed.
const STANDSTILL_CHOKE: f64 = 0.45;
/// Growth of that flow with the square of relative speed: twice at top speed.
const CHOKE_GROWTH: f64 = 0.259_921_049_894_873_2;
/// How far past the choke flow the continuation reaches.
const PAST_CHOKE: f64 = 1.03;
/// Dynamic head of the inlet throat at its choke flow in the measure of
/// [`head_of_ratio`], lost about one and a half times.
const CONTINUATION_LOSS: f64 = 0.1;
/// Lowest efficiency past the last measured point; below it the head falls
/// with no less work, which a throttle behind the wheel would do as well.
const LOWEST_EFFICIENCY: f64 = 0.15;

/// Relative speed below which a wheel counts as standing where its flow is
/// given: heads and flows at surge, which are divided by, vanish with speed.
const STANDSTILL: f64 = 1e-3;
/// What a speed on the lowest or highest line may be off by rounding.
const ROUNDING: f64 = 1e-12;
/// Step along a branch that is taken as the last one. The search converges with
/// the third power, with the second where it changes cells: 1e-6 leaves an error
/// of order 1e-11 at most.
const LAST_STEP: f64 = 1e-6;

/// A compressor that follows measured speed lines. Stateless.
#[derive(Debug, Clone)]
pub struct SpeedLineCompressor {
    reference: ReferenceConditions,
    grid: Grid,
    inverse_highest_speed: f64,
    /// Last measured flow of the fastest line \[kg/s\].
    highest_flow: f64,
    data: CompressorMapData,
    /// Sizes of the wheel, for what it does left of surge.
    wheel: Option<WheelSizes>,
}

impl SpeedLineCompressor {
    /// Tabulates a checked map.
    pub fn new(data: &CompressorMapData) -> Self {
        let grid = Grid::new(data.lines());
        Self {
            reference: data.header().reference,
            highest_flow: grid.slice(1.0).choke_flow,
            inverse_highest_speed: 1.0 / grid.highest_rad_s,
            grid,
            data: data.clone(),
            wheel: None,
        }
    }

    /// The same with the sizes of its wheel, from which follows what it does
    /// left of surge and in reverse flow.
    pub fn with_wheel(self, wheel: WheelSizes) -> Self {
        Self {
            wheel: Some(wheel),
            ..self
        }
    }

    /// The measured data.
    pub fn data(&self) -> &CompressorMapData {
        &self.data
    }

    /// Conditions to which flow and speed are corrected.
    pub fn reference(&self) -> ReferenceConditions {
        self.reference
    }

    /// Lowest corrected speed with data \[rad/s\].
    pub fn lowest_speed_rad_s(&self) -> f64 {
        self.grid.lowest * self.grid.highest_rad_s
    }

    /// The map as a picture needs it.
    pub fn drawing(&self) -> MapDrawing {
        drawing::draw(&self.data, &self.grid)
    }

    /// The table, for drawing.
    pub(super) fn grid(&self) -> &Grid {
        &self.grid
    }

    /// Flow at which the compressor chokes at one speed \[kg/s\]: the last
    /// measured one, or what the inlet throat passes where that is more. The
    /// larger of the two is rounded over 2 % of the highest flow.
    #[inline]
    fn choke_flow(&self, slice: &Slice<'_>) -> f64 {
        let growth = 1.0 + CHOKE_GROWTH * slice.n * slice.n;
        let throat = STANDSTILL_CHOKE * self.highest_flow * growth * growth * growth;
        let rounding = 0.02 * self.highest_flow;
        larger(throat, slice.choke_flow, rounding)
    }

    #[inline]
    pub(super) fn past_choke(&self, slice: &Slice<'_>) -> PastChoke {
        let limit = self.choke_flow(slice) * PAST_CHOKE;
        let width = limit - slice.choke_flow;
        let slope_beta = slice.head(1.0)[1];
        let span = slice.choke_flow - slice.surge_flow;
        PastChoke {
            flow: slice.choke_flow,
            width,
            head_at_last: slice.choke_head,
            slope: if span > 0.0 {
                slope_beta * width / span
            } else {
                0.0
            },
            loss: CONTINUATION_LOSS * width / limit,
        }
    }

    #[inline]
    pub(super) fn left_of_surge(slice: &Slice<'_>) -> LeftOfSurge {
        let span = slice.choke_flow - slice.surge_flow;
        LeftOfSurge {
            head_at_surge: slice.surge_head,
            fall: if span > 0.0 {
                -slice.head(0.0)[1] * slice.surge_flow / span
            } else {
                0.0
            },
        }
    }

    /// First guess of beta: where the line gives the ratio that is asked for at
    /// a usual flow. A better guess costs as much as the step that it saves.
    #[inline]
    fn guess(slice: &Slice<'_>, duct: &Duct, span: f64) -> f64 {
        const USUAL: f64 = 0.6;
        let surge_ratio = ratio_of_head(slice.surge_head);
        let fall = surge_ratio - ratio_of_head(slice.choke_head);
        if fall <= 0.0 {
            // A standing wheel: no line to start on.
            return USUAL;
        }
        let asked = duct.about_asked_ratio(slice.surge_flow + USUAL * span);
        slice.beta_of_fall((surge_ratio - asked) / fall)
    }

    /// Where the duct settles.
    #[inline]
    fn settle(&self, slice: &Slice<'_>, duct: &Duct) -> Settled {
        let span = slice.choke_flow - slice.surge_flow;
        let guess = Self::guess(slice, duct, span);
        let mut near = NearCell::default();
        let root = falling(guess, LAST_STEP, |beta| {
            let head = slice.head_near(beta, &mut near);
            duct.left_over(slice.surge_flow + beta * span, head, span)
        });
        match root {
            Root::At(beta) => {
                let corrected_flow = slice.surge_flow + beta * span;
                Settled::new(corrected_flow, slice.efficiency(beta), Branch::Stable, duct)
            }
            Root::Below => Self::settle_in_surge(slice, duct),
            Root::Above => self.settle_past_choke(slice, duct),
        }
    }

    fn settle_in_surge(slice: &Slice<'_>, duct: &Duct) -> Settled {
        let branch = Self::left_of_surge(slice);
        let efficiency = slice.efficiency(0.0);
        let root = falling(0.9, LAST_STEP, |u| {
            duct.left_over(u * slice.surge_flow, branch.head(u), slice.surge_flow)
        });
        match root {
            Root::At(u) => Settled::new(u * slice.surge_flow, efficiency, Branch::Surge, duct),
            // Even the shut-off head is too low: no flow until the volume has
            // emptied (reverse flow needs the duct's inertia).
            Root::Below => Settled {
                pressure_ratio: ratio_of_head(branch.head(0.0)[0]),
                ..Settled::new(0.0, efficiency, Branch::Surge, duct)
            },
            Root::Above => Settled::new(slice.surge_flow, efficiency, Branch::Surge, duct),
        }
    }

    fn settle_past_choke(&self, slice: &Slice<'_>, duct: &Duct) -> Settled {
        let branch = self.past_choke(slice);
        let asked = duct.about_asked_ratio(slice.choke_flow);
        let guess = branch.share(head_of_ratio(asked));
        let root = falling(guess, LAST_STEP, |z| {
            duct.left_over(branch.flow + z * branch.width, branch.head(z), branch.width)
        });
        let z = match root {
            Root::At(z) => z,
            Root::Below => 0.0,
            Root::Above => 1.0,
        };
        let efficiency = Self::efficiency_past_choke(slice, &branch, z);
        let corrected_flow = branch.flow + z * branch.width;
        Settled::new(corrected_flow, efficiency, Branch::PastChoke, duct)
    }

    /// The wheel goes on doing the work of its last point while more and more
    /// of it is lost, so efficiency falls with the head.
    fn efficiency_past_choke(slice: &Slice<'_>, branch: &PastChoke, z: f64) -> f64 {
        let last = slice.efficiency(1.0);
        if branch.head_at_last > 0.0 && z > 0.0 {
            let share = branch.head(z)[0] / branch.head_at_last;
            (last * share).max(LOWEST_EFFICIENCY.min(last))
        } else {
            last
        }
    }

    /// The surge point of one speed.
    fn surge_point(slice: &Slice<'_>) -> SurgePoint {
        let [efficiency, efficiency_slope] = slice.surge_efficiency();
        let beta_per_share = slice.surge_flow / (slice.choke_flow - slice.surge_flow);
        SurgePoint {
            head: slice.surge_head,
            head_slope: slice.head(0.0)[1] * beta_per_share,
            efficiency,
            efficiency_slope: efficiency_slope * beta_per_share,
        }
    }

    /// Pressure ratio and work at a corrected flow \[kg/s\].
    fn characteristic(
        &self,
        slice: &Slice<'_>,
        wheel: &WheelSizes,
        corrected_flow: f64,
    ) -> Characteristic {
        if corrected_flow < slice.surge_flow {
            let speed_rad_s = slice.n * self.grid.highest_rad_s;
            let surge_point = Self::surge_point(slice);
            let reference_k = self.reference.temperature_k;
            return surge::LeftOfSurge::new(wheel, &surge_point, speed_rad_s, reference_k)
                .at(corrected_flow / slice.surge_flow);
        }
        let (head, efficiency) = if corrected_flow <= slice.choke_flow {
            let span = slice.choke_flow - slice.surge_flow;
            let beta = (corrected_flow - slice.surge_flow) / span;
            (slice.head(beta)[0], slice.efficiency(beta))
        } else {
            let branch = self.past_choke(slice);
            let z = (corrected_flow - branch.flow) / branch.width;
            let efficiency = Self::efficiency_past_choke(slice, &branch, z);
            (branch.head(z)[0], efficiency)
        };
        let pressure_ratio = ratio_of_head(head);
        Characteristic {
            pressure_ratio,
            work_ratio: pressure_ratio,
            efficiency,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Branch {
    Surge,
    Stable,
    PastChoke,
}

/// What a branch settles at.
#[derive(Debug, Clone, Copy)]
struct Settled {
    corrected_flow: f64,
    point: DuctPoint,
    pressure_ratio: f64,
    efficiency: f64,
    branch: Branch,
}

impl Settled {
    /// At a root the map gives the ratio that the surroundings ask for.
    #[inline]
    fn new(corrected_flow: f64, efficiency: f64, branch: Branch, duct: &Duct) -> Self {
        let point = duct.at(corrected_flow);
        Self {
            corrected_flow,
            pressure_ratio: duct.asked_ratio(&point),
            point,
            efficiency,
            branch,
        }
    }
}

impl CompressorForm for SpeedLineCompressor {
    fn operate(&self, demand: &CompressorDemand) -> CompressorPoint {
        let root_temperature_ratio =
            (self.reference.temperature_k / demand.inlet_temperature_k).sqrt();
        // A wheel that turns backwards passes air like a standing one.
        let speed_rad_s = if demand.shaft_speed_rad_s < 0.0 {
            0.0
        } else {
            demand.shaft_speed_rad_s
        };
        let corrected_speed = speed_rad_s * root_temperature_ratio;
        let n = corrected_speed * self.inverse_highest_speed;
        let slice = self.grid.slice(n);
        let duct = Duct::new(demand, &self.reference, root_temperature_ratio);
        let settled = self.settle(&slice, &duct);
        let corrected_flow = settled.corrected_flow;
        let choke_flow = self.choke_flow(&slice);
        CompressorPoint {
            flow_kg_s: settled.point.flow_kg_s,
            inlet_pressure_pa: settled.point.inlet_pa,
            outlet_pressure_pa: settled.point.inlet_pa * settled.pressure_ratio,
            pressure_ratio: settled.pressure_ratio,
            efficiency: settled.efficiency,
            corrected_flow_kg_s: corrected_flow,
            corrected_speed_rad_s: corrected_speed,
            surge_margin: surge_margin(corrected_flow, slice.surge_flow),
            choke_margin: (choke_flow - corrected_flow) / choke_flow,
            surging: settled.branch == Branch::Surge,
            extrapolated: settled.branch == Branch::PastChoke
                || !(self.grid.lowest - ROUNDING..=1.0 + ROUNDING).contains(&n),
        }
    }

    fn highest_speed_rad_s(&self) -> f64 {
        self.grid.highest_rad_s
    }

    fn at_flow(&self, demand: &CompressorDemand, flow_kg_s: f64) -> Option<FlowPoint> {
        let wheel = self.wheel?;
        let root_temperature_ratio =
            (self.reference.temperature_k / demand.inlet_temperature_k).sqrt();
        let corrected_speed = demand.shaft_speed_rad_s.max(0.0) * root_temperature_ratio;
        let n = corrected_speed * self.inverse_highest_speed;
        let slice = self.grid.slice(n.max(STANDSTILL));
        let inlet_pa = surge::inlet_pressure_pa(demand, flow_kg_s);
        let corrected_flow =
            flow_kg_s * self.reference.pressure_pa / (root_temperature_ratio * inlet_pa);
        let at = self.characteristic(&slice, &wheel, corrected_flow);
        let choke_flow = self.choke_flow(&slice);
        let point = CompressorPoint {
            flow_kg_s,
            inlet_pressure_pa: inlet_pa,
            outlet_pressure_pa: inlet_pa * at.pressure_ratio,
            pressure_ratio: at.pressure_ratio,
            efficiency: at.efficiency,
            corrected_flow_kg_s: corrected_flow,
            corrected_speed_rad_s: corrected_speed,
            surge_margin: surge_margin(corrected_flow, slice.surge_flow),
            choke_margin: (choke_flow - corrected_flow) / choke_flow,
            surging: corrected_flow < slice.surge_flow,
            extrapolated: corrected_flow > slice.choke_flow
                || !(self.grid.lowest - ROUNDING..=1.0 + ROUNDING).contains(&n),
        };
        Some(FlowPoint {
            point,
            work_ratio: at.work_ratio,
        })
    }
}

/// Distance from surge over the larger of flow and surge flow; 0 without both.
fn surge_margin(flow: f64, surge_flow: f64) -> f64 {
    let larger = flow.max(surge_flow);
    if larger > 0.0 {
        (flow - surge_flow) / larger
    } else {
        0.0
    }
}

/// The larger of two values, the corner rounded over about `rounding`.
#[inline]
fn larger(a: f64, b: f64, rounding: f64) -> f64 {
    let difference = a - b;
    0.5 * (a + b + (difference * difference + rounding * rounding).sqrt())
}
