//! The two macros that make quantities out of table rows.

/// A quantity: a private SI number, named constructors and readers, text both
/// ways. What may be done with it is said elsewhere.
macro_rules! quantity {
    (
        $(#[$attribute:meta])*
        $name:ident: $kind:expr;
        $($from:ident, $reader:ident = $unit:ident;)+
    ) => {
        $(#[$attribute])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            $(
                #[doc = concat!("From a number in the unit that `", stringify!($reader), "` reads.")]
                pub const fn $from(value: f64) -> Self {
                    Self($crate::quantity::units::$unit.to_si(value))
                }

                #[doc = concat!("The number in the unit of `", stringify!($from), "`.")]
                pub const fn $reader(self) -> f64 {
                    $crate::quantity::units::$unit.of_si(self.0)
                }
            )+

            /// The larger of two.
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The smaller of two.
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// Neither infinite nor "not a number".
            pub fn is_finite(self) -> bool {
                self.0.is_finite()
            }

            /// Number and unit label for presentation.
            pub fn present(self, system: $crate::quantity::UnitSystem) -> (f64, &'static str) {
                <Self as $crate::quantity::Quantity>::kind().present(self.0, system)
            }

            /// Text for presentation, with a fixed count of decimals.
            pub fn display(self, system: $crate::quantity::UnitSystem, decimals: usize) -> String {
                <Self as $crate::quantity::Quantity>::display(self, system, decimals)
            }
        }

        impl $crate::quantity::Quantity for $name {
            fn kind() -> &'static $crate::quantity::Kind {
                static KIND: $crate::quantity::Kind = $kind;
                &KIND
            }

            fn present(self, system: $crate::quantity::UnitSystem) -> (f64, &'static str) {
                $name::present(self, system)
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::quantity::QuantityError;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                let kind = <Self as $crate::quantity::Quantity>::kind();
                $crate::quantity::parse::read(kind, text).map(|read| Self(read.si))
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                let kind = <Self as $crate::quantity::Quantity>::kind();
                formatter.pad(&kind.write(self.0))
            }
        }

        $crate::quantity::define::as_text!($name);
    };
}

/// Files and schemas hold the quantity as text.
macro_rules! as_text {
    ($name:ident) => {
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_any($crate::quantity::text::TextVisitor::<Self>::new())
            }
        }

        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                $crate::quantity::text::schema(<Self as $crate::quantity::Quantity>::kind())
            }
        }
    };
}

/// Quantities that add up and scale: zero means nothing of it.
macro_rules! additive {
    ($($name:ident),+ $(,)?) => {$(
        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            /// The same without sign.
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl std::ops::Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl std::ops::Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl std::ops::Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
    )+};
}

/// Products of two kinds that are a third: `A * B = C`, hence `B * A = C`,
/// `C / A = B`, `C / B = A`.
macro_rules! product {
    ($($left:ident * $right:ident = $result:ident;)+) => {$(
        impl std::ops::Mul<$right> for $left {
            type Output = $result;
            fn mul(self, other: $right) -> $result {
                $result(self.0 * other.0)
            }
        }

        impl std::ops::Mul<$left> for $right {
            type Output = $result;
            fn mul(self, other: $left) -> $result {
                $result(self.0 * other.0)
            }
        }

        impl std::ops::Div<$left> for $result {
            type Output = $right;
            fn div(self, other: $left) -> $right {
                $right(self.0 / other.0)
            }
        }

        impl std::ops::Div<$right> for $result {
            type Output = $left;
            fn div(self, other: $right) -> $left {
                $left(self.0 / other.0)
            }
        }
    )+};
}

pub(crate) use {additive, as_text, product, quantity};
