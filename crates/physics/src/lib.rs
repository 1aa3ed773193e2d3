//! Pure physics kernels: numbers in, numbers out.
