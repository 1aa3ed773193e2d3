//! What in a file that can be read is odd all the same: notes, not errors.

use crate::almanac::{self, Place, Track};
use crate::date::{self, DAYS, HOURS, MONTHS};
use crate::facts;
use crate::outside;
use crate::year::{Column, Note, Year};

const KILO: f64 = 1000.0;

/// Rows of one oddity: how many, and the first.
#[derive(Clone, Copy, Debug, Default)]
struct Odd {
    count: usize,
    first: usize,
}

impl Odd {
    #[inline]
    fn add(&mut self, row: usize) {
        if self.count == 0 {
            self.first = row;
        }
        self.count += 1;
    }

    fn note(&self, year: &Year, what: &str) -> Option<Note> {
        let text = || format!("{what} in {} row{}", self.count, if self.count == 1 { "" } else { "s" });
        (self.count > 0).then(|| Note { text: text(), line: year.line(self.first) })
    }
}

/// Adds the notes of a year whose clock is settled.
pub(crate) fn check(year: &mut Year, track: &Track) {
    let mut notes = light(year, track);
    notes.extend(still_air(year));
    notes.extend(repeated_days(year));
    notes.extend(whole(year));
    year.notes.extend(notes);
}

/// Light that cannot be.
fn light(year: &Year, track: &Track) -> Vec<Note> {
    let facts = facts::reader();
    let (mut night, mut beyond, mut diffuse) = (Odd::default(), Odd::default(), Odd::default());
    for (month, offset_s) in year.sun_offset_s.iter().enumerate() {
        let turned = almanac::turned(*offset_s);
        let days = date::month_start(month, year.days)..date::month_start(month + 1, year.days);
        let middle = ((days.start + days.end) / 2) as f64;
        let most = facts.outside_ratio * outside::normal_kw_m2(middle) * KILO;
        let rows = year.month_rows(month);
        let columns = [&year.ghi, &year.dhi].map(|column: &Column| column.values.get(rows.clone()).unwrap_or_default());
        let [ghi, dhi] = columns;
        let mut at = |place: Place, ghi: f64, dhi: f64| {
            let cosine = place.cos_zenith(turned);
            if cosine < facts.night_cosine && ghi > facts.night_ghi {
                night.add(place.row);
            }
            if cosine > facts.outside_cosine && ghi > most * cosine {
                beyond.add(place.row);
            }
            if dhi > ghi + facts.diffuse_over {
                diffuse.add(place.row);
            }
        };
        for ((place, ghi), dhi) in track.places(days).zip(ghi).zip(dhi) {
            at(place, *ghi, *dhi);
        }
    }
    let notes = [
        night.note(year, "light while the sun is well below the horizon"),
        beyond.note(year, "more light than reaches the top of the air"),
        diffuse.note(year, "more diffuse than global radiation"),
    ];
    notes.into_iter().flatten().collect()
}

/// The longest time that the temperature stands still, if that is odd.
fn still_air(year: &Year) -> Option<Note> {
    let least = (facts::reader().equal_hours * date::HOUR_S as f64 / f64::from(year.step_s)) as usize;
    let (mut start, mut longest) = (0, (0, 0));
    let values = &year.air_c.values;
    for (row, pair) in values.windows(2).enumerate() {
        if let [before, now] = pair
            && before != now
        {
            start = row + 1;
        }
        let length = row + 2 - start;
        if length > longest.0 {
            longest = (length, start);
        }
    }
    (longest.0 >= least.max(2))
        .then(|| Note { text: format!("the air temperature stays the same for {} rows", longest.0), line: year.line(longest.1) })
}

/// Days whose light is that of the day before, row by row.
fn repeated_days(year: &Year) -> Option<Note> {
    let of_day = year.rows_of_day().max(1);
    let mut odd = Odd::default();
    let mut before: &[f64] = &[];
    for (day, ghi) in year.ghi.values.chunks_exact(of_day).enumerate() {
        if ghi == before && ghi.iter().any(|value| *value > 0.0) {
            odd.add(day);
        }
        before = ghi;
    }
    (odd.count > 0).then(|| Note {
        text: format!("{} day{} with exactly the light of the day before", odd.count, if odd.count == 1 { "" } else { "s" }),
        line: year.line(odd.first * of_day),
    })
}

/// The year as a whole.
fn whole(year: &Year) -> Vec<Note> {
    let facts = facts::reader();
    let mut notes = Vec::new();
    let annual = year.sum_h(&year.ghi, 0..year.rows()) / KILO * DAYS as f64 / year.days.max(1) as f64;
    if year.ghi.missing == 0 && (annual < facts.annual_least || annual > facts.annual_most) {
        notes.push(format!(
            "global radiation sums to {annual:.0} kWh/m2 in the year; places on land have {} to {}",
            facts.annual_least, facts.annual_most
        ));
    }
    let wind = mean(&year.wind_m_s.values);
    if wind.is_some_and(|wind| wind < facts.wind_mean_least) {
        notes.push(format!("the mean wind is {:.1} m/s, which is very little", wind.unwrap_or(0.0)));
    }
    if let Some(warmer) = warmer_half(year)
        && year.site.latitude_deg.abs() > facts.season_latitude
        && warmer * year.site.latitude_deg.signum() < -facts.season_swing
    {
        notes.push(format!(
            "at latitude {} the warm half of the year should be the other one: is the sign of the latitude right?",
            year.site.latitude_deg
        ));
    }
    let by_longitude = year.site.longitude_deg * HOURS as f64 / FULL_CIRCLE;
    if (by_longitude - year.site.local_zone_h).abs() > facts.zone_hours {
        notes.push(format!(
            "the time zone is {} h and the longitude means {by_longitude:.1} h: is the sign of one of them right?",
            year.site.local_zone_h
        ));
    }
    notes.into_iter().map(Note::whole).collect()
}

const FULL_CIRCLE: f64 = 360.0;

fn mean(values: &[f64]) -> Option<f64> {
    let known = values.iter().filter(|value| !value.is_nan());
    let (sum, count) = known.fold((0.0, 0_usize), |(sum, count), value| (sum + value, count + 1));
    (count > 0).then(|| sum / count as f64)
}

/// How much warmer April to September are than the other months, K.
fn warmer_half(year: &Year) -> Option<f64> {
    let april = MONTHS / 4;
    let (start, end) = (year.month_rows(april).start, year.month_rows(april + MONTHS / 2).start);
    let values = &year.air_c.values;
    let inside = mean(values.get(start..end)?)?;
    let outside: Vec<f64> = values.get(..start)?.iter().chain(values.get(end..)?).copied().collect();
    Some(inside - mean(&outside)?)
}
