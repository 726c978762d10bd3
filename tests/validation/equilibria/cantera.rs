//! Enthalpies of air and exhaust gas from `b_gas_properties.csv` (Cantera 3.2.0,
//! NASA-9 polynomials), interpolated here, without the project's own gas.
use std::collections::BTreeMap;

/// Stoichiometric air to fuel ratio of the table's fuel and dry air (its head).
const STOICHIOMETRIC: f64 = 14.5754;
/// Vapour per dry air of the table's humid column.
const HUMID_KG_KG: f64 = 0.0107;

/// A gas on the table's temperatures.
#[derive(Debug, Clone)]
pub struct Gas {
    t_k: Vec<f64>,
    h_j_kg: Vec<f64>,
    cp_j_kg_k: Vec<f64>,
    /// Gas constant, J/(kg K).
    pub r_j_kg_k: f64,
}

impl Gas {
    /// Weighted by mass: ideal gases mix linearly per kilogram.
    fn mixed(parts: &[(f64, &Gas)]) -> Gas {
        let sum = |f: &dyn Fn(&Gas) -> f64| parts.iter().map(|(share, gas)| share * f(gas)).sum();
        let first = parts[0].1;
        Gas {
            t_k: first.t_k.clone(),
            h_j_kg: (0..first.t_k.len())
                .map(|i| sum(&|g| g.h_j_kg[i]))
                .collect(),
            cp_j_kg_k: (0..first.t_k.len())
                .map(|i| sum(&|g| g.cp_j_kg_k[i]))
                .collect(),
            r_j_kg_k: sum(&|g| g.r_j_kg_k),
        }
    }

    /// Place in the table: index, share of the way, width.
    fn place(&self, t_k: f64) -> (usize, f64, f64) {
        let last = self.t_k.len() - 1;
        assert!(
            (self.t_k[0]..=self.t_k[last]).contains(&t_k),
            "{t_k} K is outside the table"
        );
        let i = self.t_k[1..last]
            .iter()
            .filter(|&&node| node <= t_k)
            .count();
        let width = self.t_k[i + 1] - self.t_k[i];
        (i, (t_k - self.t_k[i]) / width, width)
    }

    /// Enthalpy above 298.15 K, J/kg: the cubic through values and slopes.
    pub fn enthalpy_j_kg(&self, t_k: f64) -> f64 {
        let (i, u, width) = self.place(t_k);
        let (h, c) = (&self.h_j_kg, &self.cp_j_kg_k);
        let (v, w) = (1.0 - u, width);
        v * v * (1.0 + 2.0 * u) * h[i]
            + u * u * (3.0 - 2.0 * u) * h[i + 1]
            + w * u * v * (v * c[i] - u * c[i + 1])
    }

    /// Its slope, J/(kg K).
    pub fn cp_j_kg_k(&self, t_k: f64) -> f64 {
        let (i, u, width) = self.place(t_k);
        let (h, c) = (&self.h_j_kg, &self.cp_j_kg_k);
        6.0 * u * (1.0 - u) * (h[i + 1] - h[i]) / width
            + (1.0 - u) * (1.0 - 3.0 * u) * c[i]
            + u * (3.0 * u - 2.0) * c[i + 1]
    }

    /// ∫ cp dT/T, J/(kg K), by Simpson's rule.
    pub fn entropy_rise_j_kg_k(&self, from_k: f64, to_k: f64) -> f64 {
        const PANELS: usize = 60;
        let log_step = (to_k / from_k).ln() / (2 * PANELS) as f64;
        let cp = |k: usize| self.cp_j_kg_k(from_k * (k as f64 * log_step).exp());
        let sum: f64 = (0..PANELS)
            .map(|p| cp(2 * p) + 4.0 * cp(2 * p + 1) + cp(2 * p + 2))
            .sum();
        sum * log_step / 3.0
    }
}

/// The table's gases.
pub struct Gases {
    by_name: BTreeMap<String, Gas>,
    water: Gas,
}

impl Gases {
    /// Reads the table.
    pub fn read() -> Self {
        let mut by_name: BTreeMap<String, Gas> = BTreeMap::new();
        for row in crate::reference::rows("b_gas_properties.csv") {
            let number = |column| crate::reference::number(&row, column);
            let gas = by_name.entry(row["gas"].clone()).or_insert_with(|| Gas {
                t_k: Vec::new(),
                h_j_kg: Vec::new(),
                cp_j_kg_k: Vec::new(),
                r_j_kg_k: number("R_J_kgK"),
            });
            gas.t_k.push(number("T_K"));
            gas.h_j_kg.push(number("h_minus_h298_J_kg"));
            gas.cp_j_kg_k.push(number("cp_J_kgK"));
        }
        // the vapour is what the humid column has over the dry one
        let share = HUMID_KG_KG / (1.0 + HUMID_KG_KG);
        let water = Gas::mixed(&[
            (1.0 / share, &by_name["air_humid_w0.0107"]),
            (1.0 - 1.0 / share, &by_name["air_dry"]),
        ]);
        Self { by_name, water }
    }

    /// Air with a mass of vapour per mass of dry air.
    pub fn air(&self, humidity_kg_kg: f64) -> Gas {
        let vapour = humidity_kg_kg / (1.0 + humidity_kg_kg);
        Gas::mixed(&[
            (1.0 - vapour, &self.by_name["air_dry"]),
            (vapour, &self.water),
        ])
    }

    /// Exhaust gas of a lambda of 1 and above, from such air.
    pub fn products(&self, lambda: f64, humidity_kg_kg: f64) -> Gas {
        let burned = |l: f64| (1.0 + STOICHIOMETRIC) / (1.0 + l * STOICHIOMETRIC);
        // columns by lambda; air is what is left at infinite lambda
        let columns = [1.0, 1.5, 2.0, 3.0, 4.0, f64::INFINITY];
        let column = |l: f64| match l.is_finite() {
            true => &self.by_name[&format!("products_lambda{l:.1}")],
            false => &self.by_name["air_dry"],
        };
        let above = columns
            .iter()
            .position(|&l| l > lambda)
            .unwrap_or(columns.len() - 1);
        let (rich, lean) = (columns[above - 1], columns[above]);
        let of_rich = (burned(lambda) - burned(lean)) / (burned(rich) - burned(lean));
        let dry_air = lambda * STOICHIOMETRIC;
        let vapour = humidity_kg_kg * dry_air / (1.0 + dry_air * (1.0 + humidity_kg_kg));
        Gas::mixed(&[
            ((1.0 - vapour) * of_rich, column(rich)),
            ((1.0 - vapour) * (1.0 - of_rich), column(lean)),
            (vapour, &self.water),
        ])
    }
}

/// Between the table's points the interpolation must be finer than the 0.5 % that
/// rests on it: cp, and h against cp T, at each point from its neighbours
/// alone within 0.3 %.
#[test]
fn interpolation_is_fine_enough() {
    let whole = Gases::read();
    for gas in whole.by_name.values() {
        let mut coarse = gas.clone();
        for kept in [&mut coarse.t_k, &mut coarse.h_j_kg, &mut coarse.cp_j_kg_k] {
            let mut index = 0;
            kept.retain(|_| {
                index += 1;
                index % 2 == 1 || index == gas.t_k.len()
            });
        }
        for (i, &t_k) in gas.t_k.iter().enumerate() {
            let off = coarse.cp_j_kg_k(t_k) / gas.cp_j_kg_k[i] - 1.0;
            assert!(off.abs() < 3e-3, "cp {off} at {t_k} K");
            let off = coarse.enthalpy_j_kg(t_k) - gas.h_j_kg[i];
            assert!(
                off.abs() < 3e-3 * gas.cp_j_kg_k[i] * t_k,
                "h {off} at {t_k} K"
            );
        }
    }
}
