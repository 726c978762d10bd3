//! From the filter to the intake volume: airbox or none, compressor, charge pipe or
//! none, cooler.
use super::Plant;
use super::compressor::{CompressorDemand, CompressorPoint, FlowPoint};
use super::duct::ChargeDuct;
use super::further::{self, FurtherGas, Place};
use super::state::Extras;
use super::stream::Stream;
use super::volume::GasState;

/// What happens from the filter to the intake volume.
pub(super) struct ChargeSide {
    pub compressor: CompressorPoint,
    pub compressor_power_w: f64,
    pub outlet_enthalpy_j_kg: f64,
    pub cooler_heat_w: f64,
    pub cooler_core_w: f64,
    pub inlet: Stream,
    pub drawn: Stream,
    pub delivered: Stream,
    pub to_cooler: Stream,
    pub charge: Stream,
    pub duct_rate_kg_s2: f64,
}

/// The compressor at work: what flows through it and what the wheel gives to each
/// kilogram, whichever way it flows.
struct Stage {
    point: CompressorPoint,
    work_j_kg: f64,
    duct_rate_kg_s2: f64,
}

impl Plant {
    /// From the filter to the intake volume.
    ///
    /// Without inertia of the duct the compressor's flow is never below zero. What
    /// flows back leaves the volume behind the compressor with its enthalpy and
    /// composition, passes the cooler the other way where no charge pipe stands
    /// between, takes the work of the wheel with it as heat and goes out at the
    /// inlet; what is drawn afterwards is fresh.
    pub(super) fn charge_side(
        &self,
        intake: &GasState,
        further: &FurtherGas,
        extras: &Extras,
        shaft_speed_rad_s: f64,
    ) -> ChargeSide {
        let ambient = self.ambient_gas();
        let airbox = further.at(Place::Airbox);
        let pipe = further.at(Place::ChargePipe);
        let from = airbox.unwrap_or(&ambient);
        let demand = self.compressor_demand(intake, further, shaft_speed_rad_s);
        let stage = match &self.duct {
            Some(duct) => self.moving(duct, &demand, extras.duct_flow_kg_s, from),
            None => self.settled(&demand, from),
        };
        let flow_kg_s = stage.point.flow_kg_s;
        let forward = flow_kg_s >= 0.0;
        let outlet_j_kg = from.properties.enthalpy_j_kg + stage.work_j_kg;

        let (through, entering_j_kg, burned) = match pipe {
            None if forward => (flow_kg_s, outlet_j_kg, from.burned),
            None => (flow_kg_s, intake.properties.enthalpy_j_kg, intake.burned),
            Some(pipe) => {
                let flow_kg_s = self.cooler_flow_kg_s(pipe, intake);
                let from = if flow_kg_s >= 0.0 { pipe } else { intake };
                (flow_kg_s, from.properties.enthalpy_j_kg, from.burned)
            }
        };
        let cooler = self.cooler.pass(
            &self.gas,
            ambient.temperature_k,
            (through, entering_j_kg, burned),
            extras.cooler_core_j,
        );
        let entering = Stream::at(through, entering_j_kg, burned);
        let leaving = Stream::at(through, cooler.outlet_enthalpy_j_kg, burned);
        let (to_cooler, charge) = if through >= 0.0 {
            (entering, leaving)
        } else {
            (leaving, entering)
        };

        // ahead of the wheel and behind it, in the direction of the flow
        let (ahead_j_kg, burned) = match pipe {
            _ if forward => (from.properties.enthalpy_j_kg, from.burned),
            Some(pipe) => (pipe.properties.enthalpy_j_kg, pipe.burned),
            None => (cooler.outlet_enthalpy_j_kg, intake.burned),
        };
        let ahead = Stream::at(flow_kg_s, ahead_j_kg, burned);
        let behind = Stream::at(flow_kg_s, ahead_j_kg + stage.work_j_kg, burned);
        let (drawn, delivered) = if forward {
            (ahead, behind)
        } else {
            (behind, ahead)
        };
        ChargeSide {
            compressor: stage.point,
            compressor_power_w: flow_kg_s.abs() * stage.work_j_kg,
            outlet_enthalpy_j_kg: if forward { outlet_j_kg } else { ahead_j_kg },
            cooler_heat_w: cooler.to_coolant_w,
            cooler_core_w: cooler.from_charge_w - cooler.to_coolant_w,
            inlet: airbox.map_or(drawn, |airbox| self.through_filter(&ambient, airbox)),
            drawn,
            delivered,
            to_cooler,
            charge,
            duct_rate_kg_s2: stage.duct_rate_kg_s2,
        }
    }

    /// Through the filter into an airbox.
    fn through_filter(&self, ambient: &GasState, airbox: &GasState) -> Stream {
        let flow_kg_s = self.filter_flow_kg_s(ambient, airbox);
        let from = if flow_kg_s >= 0.0 { ambient } else { airbox };
        Stream::carrying(flow_kg_s, from)
    }

    /// The compressor on its stable branch.
    fn settled(&self, demand: &CompressorDemand, from: &GasState) -> Stage {
        let point = self.compressor.operate(demand);
        Stage {
            point,
            work_j_kg: self.work_j_kg(point.pressure_ratio, point.efficiency, from),
            duct_rate_kg_s2: 0.0,
        }
    }

    /// The compressor at a given flow in the duct.
    fn moving(
        &self,
        duct: &ChargeDuct,
        demand: &CompressorDemand,
        flow_kg_s: f64,
        from: &GasState,
    ) -> Stage {
        // A form that knows its stable branch alone is refused with a duct; were
        // it not, it would rest there.
        let FlowPoint { point, work_ratio } = self
            .compressor
            .at_flow(demand, flow_kg_s)
            .unwrap_or_else(|| {
                let point = self.compressor.operate(demand);
                let work_ratio = point.pressure_ratio;
                FlowPoint { point, work_ratio }
            });
        let loss_pa = demand.outlet_loss_pa_s2_kg2 * flow_kg_s * flow_kg_s.abs();
        let difference_pa = point.outlet_pressure_pa - loss_pa - demand.outlet_pressure_pa;
        Stage {
            point,
            work_j_kg: self.work_j_kg(work_ratio, point.efficiency, from),
            duct_rate_kg_s2: duct.acceleration_kg_s2(difference_pa),
        }
    }

    /// The flow that the compressor settles to at a state of the gas and the shaft
    /// \[kg/s\]: that of the stable branch.
    pub fn settled_duct_flow_kg_s(
        &self,
        intake: &GasState,
        further: &FurtherGas,
        shaft_speed_rad_s: f64,
    ) -> f64 {
        let demand = self.compressor_demand(intake, further, shaft_speed_rad_s);
        self.compressor.operate(&demand).flow_kg_s
    }

    /// What surrounds the compressor: ambient or airbox ahead of it, charge pipe
    /// or intake volume behind it.
    fn compressor_demand(
        &self,
        intake: &GasState,
        further: &FurtherGas,
        shaft_speed_rad_s: f64,
    ) -> CompressorDemand {
        let a = &self.ambient;
        let r = self.gas.gas_constant_j_kg_k(0.0);
        let (inlet_pa, inlet_k, inlet_loss) = match further.at(Place::Airbox) {
            Some(airbox) => (airbox.pressure_pa, airbox.temperature_k, 0.0),
            None => {
                let density = a.pressure_pa / (r * a.temperature_k);
                let loss = self.filter.coefficient_pa_s2_kg2(density);
                let factor = self.health.filter_loss_factor;
                (a.pressure_pa, a.temperature_k, factor * loss)
            }
        };
        let (outlet_pa, outlet_loss) = match further.at(Place::ChargePipe) {
            Some(pipe) => (pipe.pressure_pa, 0.0),
            None => {
                let density = further::density_kg_m3(intake);
                let loss = self.cooler_loss.coefficient_pa_s2_kg2(density);
                (intake.pressure_pa, self.health.cooler_loss_factor * loss)
            }
        };
        CompressorDemand {
            shaft_speed_rad_s,
            ambient_pressure_pa: inlet_pa,
            inlet_temperature_k: inlet_k,
            gas_constant_j_kg_k: r,
            inlet_loss_pa_s2_kg2: inlet_loss,
            outlet_loss_pa_s2_kg2: outlet_loss,
            outlet_pressure_pa: outlet_pa,
        }
    }

    /// Enthalpy rise over the compressor \[J/kg\] from a gas: isentropic over
    /// efficiency. Below a pressure ratio of 1 the wheel is dragged along by the
    /// air and gives nothing back to the shaft.
    fn work_j_kg(&self, pressure_ratio: f64, efficiency: f64, from: &GasState) -> f64 {
        self.gas
            .isentropic(from.temperature_k, from.burned, pressure_ratio)
            .enthalpy_change_j_kg
            .max(0.0)
            / efficiency
    }
}
