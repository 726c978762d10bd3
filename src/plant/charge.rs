//! From the filter to the intake volume: airbox or none, compressor, charge pipe or
//! none, cooler.
use super::Plant;
use super::compressor::{CompressorDemand, CompressorPoint};
use super::further::{self, FurtherGas, Place};
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
}

impl Plant {
    /// From the filter to the intake volume.
    pub(super) fn charge_side(
        &self,
        intake: &GasState,
        further: &FurtherGas,
        core_j: f64,
        shaft_speed_rad_s: f64,
    ) -> ChargeSide {
        let ambient = self.ambient_gas();
        let airbox = further.at(Place::Airbox);
        let pipe = further.at(Place::ChargePipe);
        let from = airbox.unwrap_or(&ambient);
        let compressor = self.compressor_point(intake, further, shaft_speed_rad_s);
        let drawn = Stream::carrying(compressor.flow_kg_s, from);
        let rise_j_kg = self.compression_j_kg(&compressor, from);
        let outlet_j_kg = from.properties.enthalpy_j_kg + rise_j_kg;
        let delivered = Stream {
            enthalpy_w: drawn.flow_kg_s * outlet_j_kg,
            ..drawn
        };
        let inlet = match airbox {
            None => drawn,
            Some(airbox) => {
                let flow_kg_s = self.filter_flow_kg_s(&ambient, airbox);
                let from = if flow_kg_s >= 0.0 { &ambient } else { airbox };
                Stream::carrying(flow_kg_s, from)
            }
        };
        let (through, entering_j_kg, burned) = match pipe {
            None => (drawn.flow_kg_s, outlet_j_kg, from.burned),
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
            core_j,
        );
        let at = |enthalpy_j_kg: f64| Stream {
            flow_kg_s: through,
            enthalpy_w: through * enthalpy_j_kg,
            burned_kg_s: through * burned,
        };
        let (entering, leaving) = (at(entering_j_kg), at(cooler.outlet_enthalpy_j_kg));
        let forward = through >= 0.0;
        ChargeSide {
            compressor,
            compressor_power_w: drawn.flow_kg_s * rise_j_kg,
            outlet_enthalpy_j_kg: outlet_j_kg,
            cooler_heat_w: cooler.to_coolant_w,
            cooler_core_w: cooler.from_charge_w - cooler.to_coolant_w,
            inlet,
            drawn,
            delivered,
            to_cooler: if forward { entering } else { leaving },
            charge: if forward { leaving } else { entering },
        }
    }

    /// The compressor between ambient or airbox and charge pipe or intake volume.
    fn compressor_point(
        &self,
        intake: &GasState,
        further: &FurtherGas,
        shaft_speed_rad_s: f64,
    ) -> CompressorPoint {
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
        self.compressor.operate(&CompressorDemand {
            shaft_speed_rad_s,
            ambient_pressure_pa: inlet_pa,
            inlet_temperature_k: inlet_k,
            gas_constant_j_kg_k: r,
            inlet_loss_pa_s2_kg2: inlet_loss,
            outlet_loss_pa_s2_kg2: outlet_loss,
            outlet_pressure_pa: outlet_pa,
        })
    }

    /// Enthalpy rise over the compressor \[J/kg\] from a gas: isentropic over
    /// efficiency. Below a pressure ratio of 1 the wheel is dragged along by the
    /// air and gives nothing back to the shaft.
    fn compression_j_kg(&self, c: &CompressorPoint, from: &GasState) -> f64 {
        self.gas
            .isentropic(from.temperature_k, from.burned, c.pressure_ratio)
            .enthalpy_change_j_kg
            .max(0.0)
            / c.efficiency
    }
}
