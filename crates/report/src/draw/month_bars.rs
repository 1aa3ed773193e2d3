use super::{Shown, sheet::Sheet};
use check::exhibit::MonthBars;
pub(super) fn draw(_: &str, _: &MonthBars, _: Shown) -> Option<Sheet> {
    None
}
