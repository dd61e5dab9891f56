//! `/desk/{id}/sheet`: the loan sheet.

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;

use super::cautions::{self, Caution};
use super::desk_pages::{DeskOnePage, page};
use super::shown::ReservationShown;
use crate::people::access::SignedIn;
use crate::shelf::{self, ItemId, TelescopeRecord};
use crate::store::Store;
use crate::web::body::Path;
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::frame::Frame;
use crate::web::problem::Problem;

/// The sheet that goes with a loan, for one A4 page.
#[derive(Template, WebTemplate)]
#[template(path = "lending/sheet.html")]
pub struct SheetPage {
    /// The frame.
    pub frame: Frame,
    /// The reservation.
    pub one: ReservationShown,
    /// The cautions.
    pub cautions: Vec<&'static Caution>,
    /// Who signed, once somebody has.
    pub signed: Option<String>,
    /// What was drawn: the path, and whose it is.
    pub drawn: Option<(String, String)>,
    /// What it takes to carry each telescope, one sentence each.
    pub lifting: Vec<String>,
}

/// `GET /desk/{id}/sheet`
///
/// # Errors
/// 404 where there is no such reservation.
pub async fn sheet(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<SheetPage, Problem> {
    let DeskOnePage { frame, one, cautions, signed, drawn, .. } =
        page(&store, &clock, &who, id).await?;
    let frame = Frame { title: format!("Loan sheet {}", one.id), ..frame };
    let ids: Vec<ItemId> = one.pieces.iter().map(|piece| ItemId(piece.id)).collect();
    let mut conn = store.reader().acquire().await?;
    let telescopes = shelf::these_telescopes(&mut conn, &ids).await?;
    let lifting = telescopes.iter().filter_map(lifting).collect();
    Ok(SheetPage { frame, one, cautions, signed, drawn, lifting })
}

/// How many helpers a telescope needs, by the mass of its heaviest part.
fn lifting(item: &TelescopeRecord) -> Option<String> {
    let heaviest = item
        .figures
        .heaviest_part
        .map(|mass| format!("The heaviest part weighs {}.", format::mass(mass.g())));
    let helpers = item.figures.helpers.filter(|helpers| helpers.count() > 0).map(|helpers| {
        format!("Bring {}.", format::count(helpers.count().into(), "helper", "helpers"))
    });
    let says: Vec<String> = helpers.into_iter().chain(heaviest).collect();
    let (tag, name) = (&item.facts.tag, &item.facts.name);
    (!says.is_empty()).then(|| format!("{tag} {name}: {}", says.join(" ")))
}
