//! Inputs of the plant that no controller orders: from the procedure, or at rest.
use super::rig::Rig;
use crate::plant::PlantInput;
use crate::procedure::Asked;

impl Rig {
    /// Engine speed, wastegate and turbine area as they are asked for; the rest is
    /// for the controller to order.
    pub fn asked_input(&self, asked: &Asked) -> PlantInput {
        let at_rest = self.plant.wastegate.map_or(0.0, |w| w.opening);
        PlantInput {
            engine_speed_rad_s: asked.speed_rad_s,
            wastegate_open: asked.set.wastegate.unwrap_or(at_rest),
            turbine_area_factor: asked.set.turbine_area.unwrap_or(1.0),
            ..PlantInput::default()
        }
    }
}
