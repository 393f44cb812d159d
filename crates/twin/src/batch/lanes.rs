//! Numbers that carry one value a roast (or a second of one roast, in `lift.rs` and `steady.rs`): the same kernel source serves one lane, four, eight, sixteen, in single or double precision.
//! A [`Lane`] holds `X` vector registers side by side, so that two chains of dependent operations run at once.
//! Every function is `#[inline(always)]` and none holds a closure: a closure would not inherit the caller's instruction set
//! and each operation inside would become a call (measured elsewhere at five times slower, silently).

use std::ops::{Add, Div, Mul, Neg, Sub};

use pulp::Simd;

/// One number for each of several roasts, with the arithmetic that the kernel needs.
pub(crate) trait Lane:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
{
    /// Proof that the processor has the instructions.
    type Isa: Copy;
    /// One truth value for each roast.
    type Mask: Copy;
    /// How many roasts one value carries.
    const WIDTH: usize;

    /// The same number for every roast.
    fn splat(isa: Self::Isa, value: f64) -> Self;
    /// The first [`Self::WIDTH`] numbers of `values`, one for each roast.
    fn load(isa: Self::Isa, values: &[f64]) -> Self;
    /// Writes one number for each roast into the first [`Self::WIDTH`] places of `out`.
    fn store(self, out: &mut [f64]);
    /// Writes one number for each roast, in single precision, into the first [`Self::WIDTH`] places of `out`.
    fn store_single(self, out: &mut [f32]);
    /// `self * factor + addend`, fused where the processor can.
    fn mul_add(self, factor: Self, addend: Self) -> Self;
    /// `addend - self * factor`, fused where the processor can.
    fn neg_mul_add(self, factor: Self, addend: Self) -> Self;
    /// The greater of the two.
    fn at_least(self, bound: Self) -> Self;
    /// The smaller of the two.
    fn at_most(self, bound: Self) -> Self;
    /// Square root.
    fn sqrt(self) -> Self;
    /// Whether `self < other`.
    fn is_less(self, other: Self) -> Self::Mask;
    /// `if_true` where the mask holds, else `if_false`.
    fn select(mask: Self::Mask, if_true: Self, if_false: Self) -> Self;
}

macro_rules! lane {
    ($name:ident, $doc:literal, $number:ty, $vector:ident, $mask:ident, $lanes:ident,
     $splat:ident, $add:ident, $sub:ident, $mul:ident, $div:ident, $neg:ident, $fma:ident, $fnma:ident, $max:ident, $min:ident,
     $sqrt:ident, $less:ident, $select:ident) => {
        #[doc = $doc]
        #[derive(Clone, Copy)]
        pub(crate) struct $name<S: Simd, const X: usize> {
            isa: S,
            value: [S::$vector; X],
        }

        impl<S: Simd, const X: usize> Add for $name<S, X> {
            type Output = Self;
            #[inline(always)]
            fn add(mut self, other: Self) -> Self {
                for i in 0..X {
                    self.value[i] = self.isa.$add(self.value[i], other.value[i]);
                }
                self
            }
        }

        impl<S: Simd, const X: usize> Sub for $name<S, X> {
            type Output = Self;
            #[inline(always)]
            fn sub(mut self, other: Self) -> Self {
                for i in 0..X {
                    self.value[i] = self.isa.$sub(self.value[i], other.value[i]);
                }
                self
            }
        }

        impl<S: Simd, const X: usize> Mul for $name<S, X> {
            type Output = Self;
            #[inline(always)]
            fn mul(mut self, other: Self) -> Self {
                for i in 0..X {
                    self.value[i] = self.isa.$mul(self.value[i], other.value[i]);
                }
                self
            }
        }

        impl<S: Simd, const X: usize> Div for $name<S, X> {
            type Output = Self;
            #[inline(always)]
            fn div(mut self, other: Self) -> Self {
                for i in 0..X {
                    self.value[i] = self.isa.$div(self.value[i], other.value[i]);
                }
                self
            }
        }

        impl<S: Simd, const X: usize> Neg for $name<S, X> {
            type Output = Self;
            #[inline(always)]
            fn neg(mut self) -> Self {
                for i in 0..X {
                    self.value[i] = self.isa.$neg(self.value[i]);
                }
                self
            }
        }

        impl<S: Simd, const X: usize> Lane for $name<S, X> {
            type Isa = S;
            type Mask = [S::$mask; X];
            const WIDTH: usize = X * S::$lanes;

            #[inline(always)]
            fn splat(isa: S, value: f64) -> Self {
                Self {
                    isa,
                    value: [isa.$splat(value as $number); X],
                }
            }

            #[inline(always)]
            fn load(isa: S, values: &[f64]) -> Self {
                let mut value = [isa.$splat(0.0); X];
                for i in 0..X {
                    let mut part = [0.0; WIDEST];
                    for j in 0..S::$lanes {
                        part[j] = values[i * S::$lanes + j] as $number;
                    }
                    // Plain memory is read here, not the masked load of the library, which is a call of its own.
                    value[i] = pulp::bytemuck::pod_read_unaligned(pulp::bytemuck::cast_slice(
                        &part[..S::$lanes],
                    ));
                }
                Self { isa, value }
            }

            #[inline(always)]
            fn store(self, out: &mut [f64]) {
                for i in 0..X {
                    let part: &[$number] =
                        pulp::bytemuck::cast_slice(std::slice::from_ref(&self.value[i]));
                    for j in 0..S::$lanes {
                        out[i * S::$lanes + j] = f64::from(part[j]);
                    }
                }
            }

            #[inline(always)]
            fn store_single(self, out: &mut [f32]) {
                for i in 0..X {
                    let part: &[$number] =
                        pulp::bytemuck::cast_slice(std::slice::from_ref(&self.value[i]));
                    let place = &mut out[i * S::$lanes..(i + 1) * S::$lanes];
                    for (to, number) in place.iter_mut().zip(part) {
                        *to = *number as f32;
                    }
                }
            }

            #[inline(always)]
            fn mul_add(mut self, factor: Self, addend: Self) -> Self {
                for i in 0..X {
                    self.value[i] = self
                        .isa
                        .$fma(self.value[i], factor.value[i], addend.value[i]);
                }
                self
            }

            #[inline(always)]
            fn neg_mul_add(mut self, factor: Self, addend: Self) -> Self {
                for i in 0..X {
                    self.value[i] = self
                        .isa
                        .$fnma(self.value[i], factor.value[i], addend.value[i]);
                }
                self
            }

            #[inline(always)]
            fn at_least(mut self, bound: Self) -> Self {
                for i in 0..X {
                    self.value[i] = self.isa.$max(self.value[i], bound.value[i]);
                }
                self
            }

            #[inline(always)]
            fn at_most(mut self, bound: Self) -> Self {
                for i in 0..X {
                    self.value[i] = self.isa.$min(self.value[i], bound.value[i]);
                }
                self
            }

            #[inline(always)]
            fn sqrt(mut self) -> Self {
                for i in 0..X {
                    self.value[i] = self.isa.$sqrt(self.value[i]);
                }
                self
            }

            #[inline(always)]
            fn is_less(self, other: Self) -> Self::Mask {
                let mut mask = [self.isa.$less(self.value[0], other.value[0]); X];
                for i in 1..X {
                    mask[i] = self.isa.$less(self.value[i], other.value[i]);
                }
                mask
            }

            #[inline(always)]
            fn select(mask: Self::Mask, mut if_true: Self, if_false: Self) -> Self {
                for i in 0..X {
                    if_true.value[i] =
                        if_true
                            .isa
                            .$select(mask[i], if_true.value[i], if_false.value[i]);
                }
                if_true
            }
        }
    };
}

/// Most numbers that two registers side by side hold in double precision.
pub(crate) const MOST_DOUBLES: usize = WIDEST;
/// Lanes of the widest register that any supported processor has: 512 bits of single precision.
const WIDEST: usize = 16;

lane!(
    Double,
    "Double precision.",
    f64,
    f64s,
    m64s,
    F64_LANES,
    splat_f64s,
    add_f64s,
    sub_f64s,
    mul_f64s,
    div_f64s,
    neg_f64s,
    mul_add_e_f64s,
    negate_mul_add_e_f64s,
    max_f64s,
    min_f64s,
    sqrt_f64s,
    less_than_f64s,
    select_f64s
);
lane!(
    Single,
    "Single precision.",
    f32,
    f32s,
    m32s,
    F32_LANES,
    splat_f32s,
    add_f32s,
    sub_f32s,
    mul_f32s,
    div_f32s,
    neg_f32s,
    mul_add_e_f32s,
    negate_mul_add_e_f32s,
    max_f32s,
    min_f32s,
    sqrt_f32s,
    less_than_f32s,
    select_f32s
);
