//! What `card()` gives, as a card.

use std::borrow::Cow;

use basis::Basis;
use check::registry::parts_of_id;
use check::view::{FACTS, tables, written_out};
use check::{Card, Consequence, List, Scope, Words};
use quantity::Dimension;
use serde_json::{Map, Value};

/// A card and what else the script says of itself.
#[derive(Clone, Debug)]
pub(crate) struct Told {
    pub(crate) card: Card,
    /// Tables of the rig file that the script sees, and whether it sees the facts of a state.
    pub(crate) tables: Vec<String>,
    pub(crate) sees_facts: bool,
    pub(crate) measures: Option<Dimension>,
    pub(crate) basis: Basis,
}

const KEYS: [&str; 13] = [
    "id",
    "question",
    "demand",
    "capacity",
    "measures",
    "consequence",
    "scope",
    "basis",
    "needs",
    "uses",
    "limits",
    "formula",
    "cautions",
];

/// Reads a card; everything that is the matter with it at once.
pub(crate) fn read(value: &Value, taken_trades: &[&str]) -> Result<Told, Vec<String>> {
    let mut wrong = Vec::new();
    let empty = Map::new();
    let table = value.as_object().unwrap_or_else(|| {
        wrong.push("card() gives no table; it is written #{ id: \"..\", question: \"..\" }".to_owned());
        &empty
    });
    if !wrong.is_empty() {
        return Err(wrong);
    }
    for key in table.keys().filter(|key| !KEYS.contains(&key.as_str())) {
        wrong.push(format!("card: there is no key `{key}`; there are {}", KEYS.join(", ")));
    }
    let mut reader = Reader { table, wrong };
    let id = reader.text("id", "such as \"yard/spare-wheel\"");
    let question = reader.text("question", "in the words of whoever asks it");
    let consequence: Option<Consequence> = reader.word("consequence", "one of injury, damage, legal, comfort");
    let measures: Option<Dimension> = if table.contains_key("measures") {
        reader.word("measures", "a kind of quantity, such as \"mass\", \"length\", \"force\" or \"angle\"")
    } else {
        None
    };
    let scope = reader.scope();
    let basis = reader.basis();
    let [needs, uses, limits, formula, cautions] = ["needs", "uses", "limits", "formula", "cautions"].map(|key| reader.list(key));
    let [demand, capacity] = [("demand", "is"), ("capacity", "may be")].map(|(key, usual)| reader.verb(key, usual));
    if let Some(id) = &id {
        reader.check_id(id, taken_trades);
    }
    let listed = || needs.iter().chain(&uses).map(String::as_str);
    if listed().next().is_none() {
        reader.wrong.push(
            "card: `needs` or `uses` names a table of the rig file, such as [\"mass\"]; a check sees only what it names"
                .to_owned(),
        );
    }
    let (sees_facts, tables) = (listed().any(|word| word == FACTS), tables(listed()));
    let (Some(id), Some(question), Some(consequence), Some(scope), Some(basis), []) =
        (id, question, consequence, scope, basis, reader.wrong.as_slice())
    else {
        return Err(reader.wrong);
    };
    let own = |list: Vec<String>| List::Owned(list);
    let mut formula = formula;
    formula.push(format!("limits, where an answer says nothing else, from: {}", basis.line()));
    let card = Card {
        id: Cow::Owned(id),
        question: Cow::Owned(question),
        words: Words { demand: Cow::Owned(demand), capacity: Cow::Owned(capacity) },
        consequence,
        scope,
        needs: own(needs.iter().filter(|need| *need != FACTS).cloned().collect()),
        uses: own(written_out(uses.iter().chain(needs.iter().filter(|need| *need == FACTS)).map(String::as_str))),
        limits: own(limits),
        formula: own(formula),
        cautions: own(cautions),
    };
    Ok(Told { card, tables, sees_facts, measures, basis })
}

struct Reader<'a> {
    table: &'a Map<String, Value>,
    wrong: Vec<String>,
}

impl Reader<'_> {
    fn text(&mut self, key: &str, wanted: &str) -> Option<String> {
        match self.table.get(key).and_then(Value::as_str).map(str::trim).filter(|text| !text.is_empty()) {
            Some(text) => Some(text.to_owned()),
            None => {
                self.wrong.push(format!("card: `{key}` is wanted as text, {wanted}"));
                None
            }
        }
    }

    fn verb(&mut self, key: &str, usual: &str) -> String {
        if self.table.contains_key(key) { self.text(key, "a verb").unwrap_or_default() } else { usual.to_owned() }
    }

    fn word<T: serde::de::DeserializeOwned>(&mut self, key: &str, wanted: &str) -> Option<T> {
        let read = self.table.get(key).and_then(|value| serde_json::from_value(value.clone()).ok());
        if read.is_none() {
            self.wrong.push(format!("card: `{key}` is wanted: {wanted}"));
        }
        read
    }

    fn scope(&mut self) -> Option<Scope> {
        const SCOPES: [Scope; 4] = [Scope::Travel, Scope::Camp, Scope::Every, Scope::Once];
        let word = self.table.get("scope").and_then(Value::as_str);
        let scope = SCOPES.into_iter().find(|scope| Some(scope.word()) == word);
        if scope.is_none() {
            self.wrong.push("card: `scope` is wanted: one of travel, camp, every, once".to_owned());
        }
        scope
    }

    fn basis(&mut self) -> Option<Basis> {
        const WANTED: &str = "#{ kind: \"common-practice\", title: \"..\", known: \"from-memory\" }";
        let Some(value) = self.table.get("basis") else {
            self.wrong.push(format!("card: `basis` is wanted, where the limit comes from: {WANTED}"));
            return None;
        };
        match serde_json::from_value::<Basis>(value.clone()) {
            Ok(basis) => match basis.fault() {
                None => Some(basis),
                Some(fault) => {
                    self.wrong.push(format!("card: {fault}"));
                    None
                }
            },
            Err(why) => {
                self.wrong.push(format!("card: `basis` cannot be read ({why}); it is written {WANTED}"));
                None
            }
        }
    }

    fn list(&mut self, key: &str) -> Vec<String> {
        let Some(value) = self.table.get(key) else { return Vec::new() };
        let all =
            value.as_array().map(|list| list.iter().map(|word| word.as_str().map(str::to_owned)).collect::<Option<Vec<_>>>());
        all.flatten().unwrap_or_else(|| {
            self.wrong.push(format!("card: `{key}` is wanted as a list of texts, such as [\"mass\"]"));
            Vec::new()
        })
    }

    fn check_id(&mut self, id: &str, taken_trades: &[&str]) {
        match parts_of_id(id) {
            Some((trade, name)) => {
                if taken_trades.contains(&trade) {
                    self.wrong.push(format!("card: the trade `{trade}` is taken; an id of your own begins with a word of your own, such as yard/{name}"));
                }
            }
            None => self
                .wrong
                .push(format!("card: the id \"{id}\" is written trade/what-is-asked, in small letters, figures and dashes")),
        }
    }
}
