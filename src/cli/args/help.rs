//! Longer texts of the help: what the program is for, and examples.

pub(super) const ABOUT: &str = "How high may the boost command go on this engine, turbo, sensor and \
    controller, and what breaks first?";

pub(super) const LONG_ABOUT: &str = "How high may the boost command go on this engine, turbo, sensor and \
    controller, and what breaks first?\n\n\
    A controller that is told to reach more boost than its sensor can read never sees the target \
    met: it closes the vanes further and further, and shaft speed and drive pressure follow until \
    something gives. ringfence simulates engine, turbocharger, sensor and controller together and \
    says beforehand where the fence has to stand.\n\n\
    Without a command it shows this on a built-in engine with invented data and writes a report \
    folder. All results are estimates, never a substitute for a measurement.";

pub(super) const EXAMPLES: &str = "Start here:
  ringfence                             the demonstration
  ringfence new my-engine.yaml          a commented scenario to change
  ringfence check my-engine.yaml        is it complete and sound?
  ringfence ceiling my-engine.yaml      the highest safe boost command
  ringfence run my-engine.yaml          what the present command does
  ringfence compare old.yaml new.yaml   the same on several, side by side
  ringfence tolerance my-engine.yaml    how many engines built so exceed a limit
  ringfence explain drive_pressure      what is behind a limit

Exit status:
  0  all limits held (ceiling: every cell has a window)
  1  a limit was exceeded, a cell has no window, or something was found
  2  the input or the call is wrong
  3  the computation failed or left what the model can describe";

pub(super) const RUN_EXAMPLES: &str = "Examples:
  ringfence run my-engine.yaml
  ringfence run my-engine.yaml --out report --png
  ringfence run my-engine.yaml --set \"ambient.altitude=2600 m\"
  ringfence run my-engine.yaml --band
  ringfence run old.yaml new.yaml --json";

pub(super) const COMPARE_EXAMPLES: &str = "Examples:
  ringfence compare old-turbo.yaml new-turbo.yaml
  ringfence compare old.yaml new.yaml newer.yaml --out comparison --png
  ringfence compare old.yaml new.yaml --set \"ambient.altitude=2600 m\"
  ringfence compare old.yaml new.yaml --own-procedure --json";

pub(super) const CEILING_EXAMPLES: &str = "Examples:
  ringfence ceiling my-engine.yaml
  ringfence ceiling my-engine.yaml --speeds 1400rpm,2000rpm,2600rpm
  ringfence ceiling my-engine.yaml --speeds 1400rpm..2600rpm:7 --altitudes 0m,2600m
  ringfence ceiling my-engine.yaml --altitudes 0m..3000m:4 --temperatures -20K,0K,25K
  ringfence ceiling my-engine.yaml --step \"2 kPa\" --out report
  ringfence ceiling my-engine.yaml --band --draws 64";

pub(super) const SWEEP_EXAMPLES: &str = "Examples:
  ringfence sweep my-engine.yaml --vary ambient.altitude=0..3000m:13
  ringfence sweep my-engine.yaml --out answer \\
      --vary \"controller.command.full_load=200..350kPa abs:41\" \\
      --vary ambient.altitude=0..3000m:13
  ringfence sweep my-engine.yaml --vary sensors.boost.place=manifold,cooler_outlet
  ringfence sweep my-engine.yaml --draws 500 --seed 2 --out box.csv \\
      --vary ambient.altitude=0..3000m --vary \"shaft.inertia=0.8..1.2kg cm2\"
  ringfence sweep my-engine.yaml --vary ambient.altitude=0..3000m:301 --shard 1/2 --out a.csv

--out FILE.csv and --out FILE.jsonl name the file of rows; any other --out names a
report folder. Beside the rows stands a file with .state behind the name: with it the
same command goes on after a stop, and `ringfence merge` joins parts.

Exit status:
  0    every case held
  1    some case exceeded a limit
  2    the input or the call is wrong
  3    some case has no answer, and none exceeded a limit; or the rows cannot be written
  130  stopped; the same command goes on where it was";

pub(super) const MERGE_EXAMPLES: &str = "Examples:
  ringfence merge a.csv b.csv --out whole.csv";
pub(super) const TOLERANCE_EXAMPLES: &str = "Examples:
  ringfence tolerance my-engine.yaml
  ringfence tolerance my-engine.yaml --draws 2000 --keep-below 0.5%
  ringfence tolerance my-engine.yaml --with-uncertainty --out report
  ringfence tolerance my-engine.yaml --set \"production={sensors.boost.offset: 3 kPa}\"

Exit status:
  0  the high end of the interval for any limit is at most the level of --keep-below
  1  it is not
  2  the input or the call is wrong
  3  it would be, were it not for engines that the model cannot follow";
pub(super) const TABLES_EXAMPLES: &str = "Examples:
  ringfence tables my-engine.yaml
  ringfence tables my-engine.yaml --out my-tables
  ringfence tables my-engine.yaml --speeds 1200rpm..2800rpm:5 --fuels 0mg,40mg,80mg,130mg
  ringfence tables my-engine.yaml --altitudes 0m,2600m --temperatures 0K,20K
  ringfence tables my-engine.yaml --reserve \"5 %, turbine_inlet=2 %\"
  ringfence run my-tables/tables.yaml              drive what was written";

pub(super) const VERIFY_EXAMPLES: &str = "Examples:
  ringfence verify my-engine.yaml
  ringfence verify my-suite --out report          every scenario in a folder that expects something
  ringfence verify my-suite --junit results.xml   for a test server
  ringfence verify my-suite --write-baselines     store how every run goes now
  ringfence verify my-suite --set \"controller.feedback.integral=0.4 %/(kPa s)\"

Exit status:
  0  every scenario did what it expects
  1  some expectation failed
  2  a file or the call is wrong
  3  a computation failed";

pub(super) const CHECK_EXAMPLES: &str = "Examples:
  ringfence check my-engine.yaml
  ringfence check compressor.csv turbine.csv
  ringfence check compressor.csv --out pictures    with a picture of what is computed from it";

pub(super) const NEW_EXAMPLES: &str = "Examples:
  ringfence new my-engine.yaml
  ringfence new draft.csv --wheel wheel.yaml       a compressor map from wheel sizes";

pub(super) const EXPLAIN_EXAMPLES: &str = "Examples:
  ringfence explain                         every name there is
  ringfence explain pinned_time             a limit
  ringfence explain command_clamp           a protection
  ringfence explain sensors.boost.clamp     a field of the scenario file";
