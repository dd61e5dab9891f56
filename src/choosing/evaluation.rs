//! Judges views one by one.

use std::collections::HashMap;

use super::telling::{self, Which};
use super::wire::EvaluateRequest;
use super::wire::answers::ViewsAnswer;
use crate::kit::explain::Subject;
use crate::kit::story::ViewFacts;
use crate::kit::{Bench, Settings};

/// Judges every case. What depends on the telescope alone is worked out once for each
/// specification, however many cases share it.
#[must_use]
pub fn evaluate(request: &EvaluateRequest, settings: &Settings) -> ViewsAnswer {
    let mut benches: Vec<Bench<'_>> = Vec::new();
    let mut known = HashMap::new();
    let views = request.cases.iter().map(|case| {
        let telescope = &case.telescope;
        let key = (telescope.spec.fold_key(), telescope.sun_filter);
        let at = *known.entry(key).or_insert_with(|| {
            let filter = telescope.sun_filter;
            benches.push(Bench::new(&telescope.spec, filter, &request.question, settings));
            benches.len() - 1
        });
        let (bench, eyepiece, barlow) = (&benches[at], &case.eyepiece, case.barlow.as_ref());
        let facts = ViewFacts::of(bench, eyepiece, barlow);
        let assessment = bench.assess(eyepiece, barlow);
        let subject = Subject { bench, eyepiece, barlow };
        telling::view(&facts, &assessment, subject, Which::Every)
    });
    ViewsAnswer { views: views.collect() }
}
