//! The one table of kernels that programs and scripts may call by name.
