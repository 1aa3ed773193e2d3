//! Arithmetic of estimates: + - * / among estimates and with plain numbers, by value and by reference.
//!
//! Sums are exact. Products and ratios are first order: good while the doubt is small against the value.

use std::ops::{Add, Div, Mul, Neg, Sub};

use crate::Estimate;

fn add(a: &Estimate, b: &Estimate) -> Estimate {
    Estimate::merged(a.value() + b.value(), 1.0, a, 1.0, b)
}

fn sub(a: &Estimate, b: &Estimate) -> Estimate {
    Estimate::merged(a.value() - b.value(), 1.0, a, -1.0, b)
}

fn mul(a: &Estimate, b: &Estimate) -> Estimate {
    Estimate::merged(a.value() * b.value(), b.value(), a, a.value(), b)
}

fn div(a: &Estimate, b: &Estimate) -> Estimate {
    let ratio = a.value() / b.value();
    Estimate::merged(ratio, 1.0 / b.value(), a, -ratio / b.value(), b)
}

macro_rules! operator {
    ($Trait:ident $method:ident, number on the right $right:expr, on the left $left:expr) => {
        impl $Trait<&Estimate> for &Estimate {
            type Output = Estimate;
            fn $method(self, other: &Estimate) -> Estimate {
                $method(self, other)
            }
        }

        impl $Trait<Estimate> for Estimate {
            type Output = Estimate;
            fn $method(self, other: Estimate) -> Estimate {
                $method(&self, &other)
            }
        }

        impl $Trait<&Estimate> for Estimate {
            type Output = Estimate;
            fn $method(self, other: &Estimate) -> Estimate {
                $method(&self, other)
            }
        }

        impl $Trait<Estimate> for &Estimate {
            type Output = Estimate;
            fn $method(self, other: Estimate) -> Estimate {
                $method(self, &other)
            }
        }

        impl $Trait<f64> for Estimate {
            type Output = Estimate;
            fn $method(self, number: f64) -> Estimate {
                let with: fn(Estimate, f64) -> Estimate = $right;
                with(self, number)
            }
        }

        impl $Trait<f64> for &Estimate {
            type Output = Estimate;
            fn $method(self, number: f64) -> Estimate {
                self.clone().$method(number)
            }
        }

        impl $Trait<Estimate> for f64 {
            type Output = Estimate;
            fn $method(self, estimate: Estimate) -> Estimate {
                let with: fn(f64, Estimate) -> Estimate = $left;
                with(self, estimate)
            }
        }

        impl $Trait<&Estimate> for f64 {
            type Output = Estimate;
            fn $method(self, estimate: &Estimate) -> Estimate {
                self.$method(estimate.clone())
            }
        }
    };
}

operator!(Add add, number on the right |a, n| a.shifted(n), on the left |n, a| a.shifted(n));
operator!(Sub sub, number on the right |a, n| a.shifted(-n), on the left |n, a| a.scaled(-1.0).shifted(n));
operator!(Mul mul, number on the right |a, n| a.scaled(n), on the left |n, a| a.scaled(n));
operator!(Div div, number on the right |a, n| a.scaled(1.0 / n), on the left |n, a| {
    let value = n / a.value();
    Estimate::with_gradients(value, &[(-value / a.value(), &a)])
});

impl Neg for Estimate {
    type Output = Estimate;
    fn neg(self) -> Estimate {
        self.scaled(-1.0)
    }
}

impl Neg for &Estimate {
    type Output = Estimate;
    fn neg(self) -> Estimate {
        self.clone().scaled(-1.0)
    }
}
