//! Every value of a rig, with its path.

use std::collections::BTreeMap;

use quantity::{Dim, Dimension, How, Quantity, Stated};

use crate::free::Free;
use crate::model::{Coord, Day, Drift, Facing, Fill, Occupant, Rig, Until};
use crate::path::quote_key;
use crate::tree::Node;
use crate::view::{self, Eye, View};

/// One value with a dimension, as the file gives it.
#[derive(Clone, Debug, PartialEq)]
pub struct Given<'a> {
    /// What kind of quantity it is.
    pub dimension: Dimension,
    /// The value in SI; none for "?".
    pub value: Option<f64>,
    /// How it is known; none for a plain quantity, which is a wish or a limit without spread.
    pub how: Option<How>,
    /// Half width of its spread, 95 times in 100, in SI, where the file gives one.
    pub tolerance: Option<f64>,
    /// Hard bounds in SI, where the file gives them.
    pub bounds: Option<(f64, f64)>,
    /// The ticket or brochure it comes from.
    pub from: Option<&'a str>,
}

/// What is called for each value.
pub type See<'a> = dyn FnMut(&Trail<'_>, &Given<'_>) + 'a;

/// Where the walk stands. The path is written out only when asked for.
#[derive(Debug, Default)]
pub struct Trail<'r> {
    steps: Vec<Step<'r>>,
    /// Keys of the file that are passed over.
    over: Vec<String>,
}

#[derive(Clone, Copy, Debug)]
enum Step<'r> {
    Key(&'r str),
    Entry(Option<&'r str>, usize),
}

impl<'r> Trail<'r> {
    /// The path of the value at hand, such as `axle[front].rated`.
    pub fn path(&self) -> String {
        // Most are shorter.
        let mut text = String::with_capacity(64);
        for step in &self.steps {
            match step {
                Step::Key(key) => {
                    if !text.is_empty() {
                        text.push('.');
                    }
                    text.push_str(&quote_key(key));
                }
                Step::Entry(name, index) => crate::path::push_entry(&mut text, *name, *index),
            }
        }
        text
    }

    /// The keys on the way, outermost first.
    pub fn keys(&self) -> impl DoubleEndedIterator<Item = &'r str> {
        self.steps.iter().filter_map(|step| match step {
            Step::Key(key) => Some(*key),
            Step::Entry(..) => None,
        })
    }

    /// Whether it stands at a key of the file that is passed over.
    pub(crate) fn is_passed_over(&self) -> bool {
        match (self.over.is_empty(), self.steps.as_slice()) {
            (false, [Step::Key(key)]) => self.over.iter().any(|over| over == key),
            _ => false,
        }
    }

    /// Whether it stands at the whole file.
    pub fn is_empty(&self) -> bool {
        self.steps.is_empty()
    }

    /// Steps into a key of a table.
    pub fn enter_key(&mut self, key: &'r str) {
        self.steps.push(Step::Key(key));
    }

    /// Steps into a field of the model. Its trailing `_`, which keeps Rust's own words apart, is not part of the key.
    pub fn enter_field(&mut self, field: &'static str) {
        self.enter_key(field.strip_suffix('_').unwrap_or(field));
    }

    /// Steps into an entry of a list, by its name if it has one, else by its place counted from 1.
    pub fn enter_entry(&mut self, name: Option<&'r str>, index: usize) {
        self.steps.push(Step::Entry(name, index));
    }

    /// Steps back out.
    pub fn leave(&mut self) {
        self.steps.pop();
    }
}

/// A part of the rig that may hold values with a dimension.
pub trait Walk {
    /// Calls `see` for every value in this part.
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>);

    /// This part, which stands at `node`, as a plain value; as it is written where it holds no value with a dimension.
    fn view<'r>(&'r self, node: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
        let (_, _) = (trail, eye);
        view::as_written(node)
    }

    /// What is seen where such a part is absent.
    fn absent() -> View
    where
        Self: Sized,
    {
        View::Nothing
    }

    /// The name that tells this entry of a list from the others.
    fn entry_name(&self) -> Option<&str> {
        None
    }
}

impl Rig {
    /// Calls `see` with the path and content of every value with a dimension, table by table as the model lists them.
    pub fn each_value(&self, see: &mut See<'_>) {
        self.walk(&mut Trail::default(), see);
    }

    /// The same without what stands under these keys of the file.
    pub(crate) fn each_value_but(&self, over: Vec<String>, see: &mut See<'_>) {
        self.walk(&mut Trail { over, ..Trail::default() }, see);
    }
}

impl<D: Dim> Walk for Stated<D> {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        see(
            trail,
            &Given {
                dimension: D::DIMENSION,
                value: self.value(),
                how: Some(self.how()),
                tolerance: self.tolerance(),
                bounds: self.bounds(),
                from: self.from(),
            },
        );
    }

    fn view<'r>(&'r self, _: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
        view::of_value(self, trail, eye)
    }
}

impl<D: Dim> Walk for Quantity<D> {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        let value = Some(self.si());
        see(trail, &Given { dimension: D::DIMENSION, value, how: None, tolerance: None, bounds: None, from: None });
    }

    fn view<'r>(&'r self, _: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
        view::of_value(self, trail, eye)
    }
}

impl Walk for Coord {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        if let Coord::Length(length) = self {
            length.walk(trail, see);
        }
    }

    fn view<'r>(&'r self, node: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
        match self {
            Coord::Length(length) => length.view(node, trail, eye),
            _ => view::as_written(node),
        }
    }
}

impl Walk for Facing {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        if let Facing::Angle(angle) = self {
            angle.walk(trail, see);
        }
    }

    fn view<'r>(&'r self, node: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
        match self {
            Facing::Angle(angle) => angle.view(node, trail, eye),
            Facing::Word(_) => view::as_written(node),
        }
    }
}

impl Walk for Drift {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        match self {
            Drift::Share(share) => share.walk(trail, see),
            Drift::Voltage(voltage) => voltage.walk(trail, see),
            Drift::Unknown => {}
        }
    }

    fn view<'r>(&'r self, node: &Node, _: &mut Trail<'r>, _: &mut dyn Eye) -> View {
        match self {
            Drift::Unknown => View::Nothing,
            // Relative or in volts: only the words tell which.
            _ => view::as_written(node),
        }
    }
}

impl Walk for Fill {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        match self {
            Fill::Share(share) => share.walk(trail, see),
            Fill::Volume(volume) => volume.walk(trail, see),
            Fill::Mass(mass) => mass.walk(trail, see),
            Fill::Unknown => {}
        }
    }

    fn view<'r>(&'r self, node: &Node, _: &mut Trail<'r>, _: &mut dyn Eye) -> View {
        match self {
            Fill::Unknown => View::Nothing,
            // Share, volume or mass: only the words tell which.
            _ => view::as_written(node),
        }
    }
}

impl Walk for Occupant {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        trail.enter_key("mass");
        self.mass.walk(trail, see);
        trail.leave();
    }
}

impl<T: Walk> Walk for Option<T> {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        if let Some(part) = self {
            part.walk(trail, see);
        }
    }

    fn view<'r>(&'r self, node: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
        self.as_ref().map_or(View::Nothing, |part| part.view(node, trail, eye))
    }
}

fn walk_entries<'r, T: Walk>(entries: &'r [T], trail: &mut Trail<'r>, see: &mut See<'_>) {
    for (index, entry) in entries.iter().enumerate() {
        trail.enter_entry(entry.entry_name(), index + 1);
        entry.walk(trail, see);
        trail.leave();
    }
}

impl<T: Walk> Walk for Vec<T> {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        walk_entries(self, trail, see);
    }

    fn view<'r>(&'r self, node: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
        view::of_entries(self, node, trail, eye)
    }

    fn absent() -> View {
        View::Map(BTreeMap::new())
    }
}

impl<T: Walk, const N: usize> Walk for [T; N] {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        walk_entries(self, trail, see);
    }

    fn view<'r>(&'r self, node: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
        view::of_entries(self, node, trail, eye)
    }
}

impl<T: Walk> Walk for BTreeMap<String, T> {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        for (key, value) in self {
            trail.enter_key(key);
            value.walk(trail, see);
            trail.leave();
        }
    }

    fn view<'r>(&'r self, node: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
        let mut seen = BTreeMap::new();
        for (key, value) in self {
            trail.enter_key(key);
            let view = node.get(key).map(|node| value.view(node, trail, eye));
            seen.insert(key.clone(), view.unwrap_or(View::Nothing));
            trail.leave();
        }
        View::Map(seen)
    }

    fn absent() -> View {
        View::Map(BTreeMap::new())
    }
}

macro_rules! no_values_in {
    ($($Type:ty),* $(,)?) => {
        $(impl Walk for $Type {
            fn walk<'r>(&'r self, _: &mut Trail<'r>, _: &mut See<'_>) {}
        })*
    };
}

no_values_in!(
    String,
    bool,
    u8,
    u16,
    u32,
    f64,
    Free,
    Day,
    Until,
    crate::model::Units,
    crate::model::RoadUse,
    crate::model::Trade,
    crate::model::CouplingKind,
    crate::model::TyreKind,
    crate::model::PlacedIn,
    crate::model::Holds,
    crate::model::TankShape,
    crate::model::StateKind,
    crate::model::Side,
    crate::model::PassageKind,
);
