//! The boost controller: sensors in, vane command and fuel out, at its period.
//!
//! A controller sees readings only, never the plant. [`Controller`] is what a run
//! asks of one, [`ControllerForm`] how one is made from a scenario and by which name,
//! [`BoostController`] the one of this program.
mod boost;
mod command;
mod feedback;
mod form;
mod fuel;
mod protection;

pub use boost::{BoostController, BoostControllerSettings};
pub use command::{BoostCommand, CommandReference, FullLoadCommand};
pub use feedback::{AntiWindup, Feedback, FeedbackSettings, FeedbackTick, VaneStops};
pub use form::{BUILT_IN, ChosenForm, ControllerForm, ControllerForms, FormProblem, OwnNumber};
pub use fuel::{FuelSchedule, SmokeLimit};
pub use protection::{
    CommandClamp, DrivePressureLimiter, FrozenSensor, OverBoost, PinnedSensor, Protection,
    ProtectionSettings, Protections, ShaftSpeedLimiter,
};

/// What the controller reads at a tick. Pressures and shaft speed are what the
/// sensors say, with their lag, their steps, their errors and their clamps; engine
/// speed, barometer and intake temperature are read without error.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Readings {
    /// Time since the start of the run \[s\]; rises by the period from tick to tick.
    pub time_s: f64,
    /// Engine speed \[rad/s\].
    pub engine_speed_rad_s: f64,
    /// Fuel that the driver or the dyno asks for, per injection \[kg\]; infinite
    /// for "all that the table gives".
    pub fuel_asked_kg: f64,
    /// Boost \[Pa abs\].
    pub boost_pa: f64,
    /// Barometer \[Pa abs\].
    pub ambient_pa: f64,
    /// Temperature in the intake manifold \[K\].
    pub intake_k: f64,
    /// Drive pressure \[Pa abs\], where sensed.
    pub drive_pressure_pa: Option<f64>,
    /// Shaft speed \[rad/s\], where sensed.
    pub shaft_speed_rad_s: Option<f64>,
}

/// What the controller orders at a tick; it stands until the next.
///
/// A run ends as failed where an order is no number, fuel is negative or infinite, or
/// the recirculation valve is outside 0 to 1. A vane command beyond what the actuator
/// can do is no fault: its stops hold the vanes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Orders {
    /// Vane command, 0 open to 1 closed \[-\].
    pub vane_command: f64,
    /// Fuel per injection \[kg\].
    pub fuel_kg: f64,
    /// Start of injection before top dead centre \[deg\].
    pub advance_deg: f64,
    /// Opening of the recirculation valve, 0 shut to 1 open \[-\].
    pub recirculation_open: f64,
    /// Boost command in use \[Pa abs\]; `None` without boost control. Judgement
    /// holds boost against it, so it is the command after rate limit and clamp.
    pub boost_command_pa: Option<f64>,
    /// Integral part of the vane command \[-\]; 0 without one. Shown in the trace,
    /// used for nothing else.
    pub integrator: f64,
    /// Bit set of protections that act, see [`Protection::bit`].
    pub active: u8,
}

/// A boost controller: readings in, orders out, at a period of its own.
///
/// Whoever implements it can put it in place of the built-in one by a
/// [`ControllerForm`] with a name; everything that runs, searches or judges then goes
/// through it. Four methods have to be written; the others say what a study may rely
/// on, and their defaults promise nothing, which costs time and never a wrong answer.
///
/// # When what is called
///
/// For each run and each equilibrium a new controller is made, and several live at a
/// time on several threads. In a run, in this order:
///
/// 1. [`period_s`](Self::period_s), once.
/// 2. [`start`](Self::start), once, with the readings at time 0.
/// 3. [`step`](Self::step) with the same readings, and then at every period.
///    [`beyond_threshold`](Self::beyond_threshold) between two steps.
///
/// [`feed_forward`](Self::feed_forward) is asked at any time, also before `start` and of
/// a controller that never runs: to find the equilibrium that a run starts from, and
/// those of a search.
///
/// # What it must not do
///
/// - Know anything but readings and its settings: no clock, no random numbers, no files,
///   nothing shared between two of its kind. Equal readings in equal order must give
///   equal orders to the last bit; results are promised to be the same bytes on any
///   number of threads.
/// - Panic. Where it cannot say anything sensible it orders what is safe.
/// - Take a reading for the truth: a boost reading stands still at the clamp of its
///   sensor while the boost rises.
///
/// # Settings
///
/// It is made from [`BoostControllerSettings`], the tables of the scenario. Studies put
/// values on trial by changing those: a ceiling sets `command`, a table the command,
/// feed-forward and fuel tables, a derate `fuel_scale`. A controller that does not read
/// one of them is judged as it is. One that does not follow the command is refused by
/// the searches for one, see
/// [`CeilingPlan::of`](crate::study::ceiling::CeilingPlan::of).
///
/// # Protections
///
/// Six names are known, in the order of [`Protection`], and their meaning is fixed;
/// a controller reports under a name what deserves it. [`protections`](Self::protections)
/// lists those that it has, [`Orders::active`] those that act now,
/// [`beyond_threshold`](Self::beyond_threshold) those whose threshold some values exceed.
/// A run ends as failed where one acts or is blind that is not listed.
pub trait Controller: Send {
    /// Period between two steps \[s\], above 0 and at most 0.1. Always the same.
    fn period_s(&self) -> f64;

    /// Forgets all and starts from the readings of an equilibrium. The first step
    /// follows at once with the same readings; it should order what holds that
    /// equilibrium, or a run begins with a jump.
    fn start(&mut self, readings: &Readings);

    /// One step, a period after the one before.
    fn step(&mut self, readings: &Readings) -> Orders;

    /// What it would order without any feedback: the vane position that a run starts
    /// from, and at equilibrium the fuel, its timing and the recirculation.
    ///
    /// A pure function of readings and settings. It is asked thousands of times, within
    /// a Newton iteration, so the orders must be smooth enough in the boost reading.
    /// Drive pressure and shaft speed may be missing although they are sensed.
    fn feed_forward(&self, readings: &Readings) -> Orders;

    /// Bits of the protections that it has; none by default.
    fn protections(&self) -> u8 {
        0
    }

    /// Bits of the protections whose threshold these values exceed; none by default.
    ///
    /// A run asks with the readings and with the true values in their place, and calls
    /// blind what the truth exceeds and the readings do not. What watches something else
    /// than a value, such as a reading that stands still, has no threshold.
    fn beyond_threshold(&self, values: &Readings) -> u8 {
        let _ = values;
        0
    }

    /// Positions between which it moves the vanes; the whole travel by default.
    ///
    /// A search walks the equilibria between them, and judgement takes vanes at the
    /// closed one for being as far closed as they go. Must not leave out a position
    /// that it may order for longer than a moment, other than as a fallback.
    fn vane_stops(&self) -> VaneStops {
        VaneStops::whole_travel()
    }

    /// Highest command that it follows \[Pa abs\]; by default there is none.
    ///
    /// One that holds the command down, as a clamp below the readable ceiling does,
    /// must say so: a search seeks no command above it, and says that the controller
    /// ends it.
    fn highest_command_pa(&self) -> Option<f64> {
        None
    }

    /// Whether boost comes to rest where the reading is the command, vane stops and
    /// protections aside; it does not by default.
    ///
    /// An integrator does this. Without the promise a search tries all commands from
    /// ambient to the first above the readable ceiling; with it those alone that an
    /// equilibrium between the stops can meet.
    fn meets_command(&self) -> bool {
        false
    }

    /// Whether it would stay at rest at these readings with the vanes at this
    /// position, the reading being the command; by default it never is.
    ///
    /// A search may then end a run that comes near to this rest, as long as the model
    /// knows the point: full fuel, sensors without noise. Only a controller with
    /// [`meets_command`](Self::meets_command) may say yes, with all authority that
    /// holding the position takes and no protection about to act.
    fn rests_at(&self, readings: &Readings, vane_closed: f64) -> bool {
        let _ = (readings, vane_closed);
        false
    }
}
