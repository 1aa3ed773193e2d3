//! One check of a plugin.

use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

use check::{Card, Check, Context, Finding};

use crate::answer;
use crate::bounds::DEATHS;
use crate::document::{Document, Sight};
use crate::fault::Fault;
use crate::plugin::Plugin;

/// One check of a plugin.
#[derive(Debug)]
pub(crate) struct Asked {
    plugin: Arc<Plugin>,
    card: Card,
    sight: Sight,
    /// How many processes were lost over it.
    deaths: AtomicU32,
}

impl Asked {
    pub(crate) fn new(plugin: Arc<Plugin>, card: Card, said: &plugin_api::Card) -> Self {
        let sight = Sight::of(&card, said);
        Self { plugin, card, sight, deaths: AtomicU32::new(0) }
    }

    fn findings(&self, cx: &Context) -> Result<Vec<Finding>, Fault> {
        let states = answer::states(cx, &self.card);
        if states.is_empty() {
            return Ok(Vec::new());
        }
        let lost = self.deaths.load(Ordering::Relaxed);
        if lost >= DEATHS {
            return Err(Fault::GivenUp(lost));
        }
        let document = Document::of(cx, &self.sight)?;
        let answers = self.plugin.ask(&self.card.id, &document).inspect_err(|fault| {
            if matches!(fault, Fault::Ended { .. } | Fault::TooLong(_)) {
                self.deaths.fetch_add(1, Ordering::Relaxed);
            }
        })?;
        answer::findings(cx, &self.card, &states, answers).map_err(Fault::Senseless)
    }
}

impl Check for Asked {
    fn card(&self) -> &Card {
        &self.card
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        self.findings(cx).unwrap_or_default()
    }

    fn try_run(&self, cx: &Context) -> Result<Vec<Finding>, String> {
        self.findings(cx).map_err(|fault| fault.to_string())
    }
}
