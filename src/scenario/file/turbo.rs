//! Compressor, turbine, shaft and vane actuator.

use super::{AreaAndSpeed, HeadAndFlow, Wastegate};
use crate::quantity::*;
use crate::scenario::section::{choice, section};

section! {
    /// The compressor.
    pub struct Compressor {
        /// How its performance is described.
        form: CompressorForm;
        /// Outer diameter of the wheel, for the tip speed. With `form: wheel` it is
        /// the tip diameter given there.
        wheel_diameter: Option<Length>, eg "66 mm";
    }
}

choice! {
    /// How the performance of the compressor is described.
    pub enum CompressorForm {
        key /// Measured speed lines in a CSV file beside this one.
        "speed_lines" => SpeedLines(String);
        key /// Geometry of the wheel, for a mean-line calculation.
        "wheel" => Wheel(WheelGeometry);
        key /// A published form: an ellipse of flow under a head that grows with speed.
        "head_and_flow" => HeadAndFlow(HeadAndFlow);
    }
}

section! {
    /// Sizes of a compressor wheel, for a mean-line calculation.
    pub struct WheelGeometry {
        /// Outer diameter at the blade tips.
        tip_diameter: Length, eg "66 mm";
        /// Width of the blades at the outlet.
        tip_width: Length, eg "4.6 mm";
        /// Angle of the blades at the outlet against radial, backwards.
        backsweep: Angle, eg "38 deg";
        /// Full blades.
        blades: u32, eg "6";
        /// Splitter blades.
        splitter_blades: u32 = "0", eg "6";
        /// Diameter of the inducer at its tip.
        inducer_tip_diameter: Length, eg "48 mm";
        /// Diameter of the hub at the inducer.
        inducer_hub_diameter: Length, eg "15 mm";
        /// Smallest flow area of the inducer.
        throat_area: Area, eg "11 cm2";
        /// Best total-to-total efficiency of the stage, from 0.4 to 0.88.
        peak_efficiency: f64, eg "0.78";
        /// Tip speed of the highest speed line to be calculated.
        top_tip_speed: Speed, eg "560 m/s";
    }
}

section! {
    /// The turbine.
    pub struct Turbine {
        /// How its performance is described.
        form: TurbineForm;
        /// Outer diameter of the wheel, for tip and blade speed.
        wheel_diameter: Length, eg "60 mm";
        /// Correction for the pulsating flow of the exhaust.
        pulsation: Pulsation = "{}";
        /// A valve in parallel to the turbine. None if left out.
        wastegate: Option<Wastegate>;
    }
}

choice! {
    /// How the performance of the turbine is described.
    pub enum TurbineForm {
        key /// Vane ring and rotor as two throats in series.
        "two_throats" => TwoThroats(TwoThroats);
        key /// A published form without vanes: effective area, efficiency over blade-speed ratio.
        "area_and_speed" => AreaAndSpeed(AreaAndSpeed);
        key /// Measured flow and efficiency per vane position, in a CSV file.
        "measured" => Measured(MeasuredTurbine);
    }
}

section! {
    /// Vane ring and rotor as two throats in series. Vane position counts per cent
    /// closed: 0 % open, 100 % at the closed stop.
    pub struct TwoThroats {
        /// Throat of the vane ring, vanes open.
        vane_throat_open: Area, eg "8.6 cm2";
        /// Throat of the vane ring, vanes at the closed stop.
        vane_throat_closed: Area, eg "1.1 cm2";
        /// Throat of the rotor.
        rotor_throat: Area, eg "12.4 cm2";
        /// Best total-to-static efficiency, from 0.3 to 0.9.
        peak_efficiency: f64, eg "0.68";
        /// Vane position of the best efficiency.
        best_vane_position: Fraction = "40 %", eg "35 %";
        /// Relative drop of the efficiency with open vanes.
        efficiency_drop_open: Fraction = "0 %", eg "10 %";
        /// Relative drop of the efficiency with vanes at the closed stop.
        efficiency_drop_closed: Fraction = "0 %", eg "40 %";
        /// Blade-speed ratio of the best efficiency, vanes open.
        best_blade_speed_ratio: f64, eg "0.66";
        /// Change of that ratio from open to closed vanes.
        blade_speed_ratio_shift: f64 = "0", eg "-0.10";
        /// How fast the efficiency falls beside the best blade-speed ratio: 1 is the
        /// parabola through standstill.
        blade_speed_ratio_curvature: f64 = "1.0", eg "0.9";
        /// Relative drop of the efficiency for each unit of expansion ratio above
        /// `above_expansion_ratio`.
        efficiency_drop_per_expansion_ratio: Fraction = "0 %", eg "2 %";
        /// Expansion ratio from which that drop acts.
        above_expansion_ratio: f64 = "4", eg "3.5";
        /// Furthest vane position for which these figures are stated; beyond it
        /// the turbine counts as extrapolated.
        stated_to_vane: Fraction = "100 %", eg "80 %";
        /// Highest expansion ratio for which these figures are stated; beyond it
        /// the turbine counts as extrapolated.
        stated_to_expansion_ratio: f64 = "8", eg "6";
    }
}

section! {
    /// A turbine that was measured at several vane positions.
    pub struct MeasuredTurbine {
        /// CSV file beside this one: a row for each vane position, speed and expansion
        /// ratio, with flow and efficiency.
        file: String, eg "turbine.csv";
    }
}

section! {
    /// Correction of the mean-value turbine for pulsating flow.
    pub struct Pulsation {
        /// Factor on the flow.
        flow_factor: f64 = "1.0", eg "0.97";
        /// Factor on the power.
        power_factor: f64 = "1.0", eg "1.05";
    }
}

section! {
    /// The shaft with both wheels.
    pub struct Shaft {
        /// Polar moment of inertia of shaft and wheels.
        inertia: Inertia, eg "0.9 kg cm2";
        /// Power lost in the bearings at the stated speed; it grows with the
        /// square of the speed.
        bearing_loss: Power, eg "1.4 kW";
        /// The speed at which that loss was found.
        at_speed: RotationalSpeed, eg "110000 rpm";
    }
}

section! {
    /// The vane actuator. Vane position counts per cent closed.
    pub struct Vanes {
        /// Time constant of the first-order lag.
        time_constant: Duration, eg "80 ms";
        /// Fastest movement.
        max_rate: VaneRate, eg "300 %/s";
        /// Mechanical stop on the open side.
        stop_open: Fraction = "0 %", eg "2 %";
        /// Mechanical stop on the closed side.
        stop_closed: Fraction = "100 %", eg "95 %";
        /// Play of the linkage between actuator and vanes, share of the travel.
        backlash: Fraction = "0 %", eg "2 %";
    }
}
