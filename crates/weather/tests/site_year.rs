//! A whole year from the file to the battery, against the same year by an open library and plain loops in Python.
#![allow(clippy::expect_used, clippy::indexing_slicing, dead_code, reason = "a test")]

mod common;
#[path = "common/site_year.rs"]
mod site_year;

/// pvlib 0.16.1 (SPA, Hay-Davies, Faiman, PVWatts) over its sample year of Greensboro (public domain) and a battery loop
/// written with branches; sun by full SPA in every hour. Printed: 554769.942 Wh, lowest 0.0997363429, gone without
/// 123526.4414 Wh, left over 14280.2582 Wh, 2081 hours.
#[test]
fn a_year_from_file_to_battery_is_that_of_an_open_library() {
    let (site, hours, calendar) = site_year::greensboro();
    let mut power = vec![0.0; hours.ghi.len()];
    let (sum, totals) = site_year::site_year(&site, &hours, &calendar, &site_year::nodes(&calendar), &mut power);
    // Nodes of the sun instead of SPA in every hour, and its day's strength by the place's clock: below a hundred-thousandth.
    let near = |value: f64, known: f64| (value / known - 1.0).abs();
    assert!(near(sum, 554_769.942) < 2e-5, "{sum}");
    assert!(near(totals.short_wh, 123_526.441) < 2e-5, "{}", totals.short_wh);
    assert!(near(totals.left_over_wh, 14_280.258) < 2e-4, "{}", totals.left_over_wh);
    assert!((totals.lowest - 0.099_736_342_9).abs() < 1e-6, "{}", totals.lowest);
    assert!(totals.hours_short.abs_diff(2081) <= 2, "{}", totals.hours_short);
}
