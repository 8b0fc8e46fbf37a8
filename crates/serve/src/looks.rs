//! What the page draws and no file of the plan holds: places that are only tried, the room, a section, the
//! surface in space, what lies under it, and the rule packs there are.

use crate::api::{Answer, App, aside};
use axum::Json;
use axum::extract::{Path, Query, State};
use serde::Deserialize;
use serde_json::{Value, json};

/// A place to try.
#[derive(Deserialize)]
pub(crate) struct Try {
    mark: String,
    centre_flat_mm: [f64; 2],
    #[serde(default)]
    height_mm: Option<f64>,
}

/// How a mark would lie at another place, or larger: nothing is saved.
pub(crate) async fn try_place(
    State(app): State<App>,
    Path(name): Path<String>,
    Json(asked): Json<Try>,
) -> Answer {
    drawn(app, name, move |p| p.tried(&asked.mark, asked.centre_flat_mm, asked.height_mm)).await
}

/// A point of a drawing.
#[derive(Deserialize)]
pub(crate) struct Where {
    surface: String,
    flat_mm: [f64; 2],
}

/// Where a point of the flat drawing is on the skin, as a person measures it.
pub(crate) async fn skin_at(
    State(app): State<App>,
    Path(name): Path<String>,
    Json(asked): Json<Where>,
) -> Answer {
    drawn(app, name, move |p| p.skin_at(&asked.surface, asked.flat_mm).map(|s| json!({ "skin_mm": s }))).await
}

/// Something of a plan that is drawn but in none of its files; null while there is no such thing, as when the job
/// cannot be planned just now.
async fn drawn(
    app: App,
    name: String,
    what: impl FnOnce(&plan::Plan) -> Option<Value> + Send + 'static,
) -> Answer {
    aside(move || {
        let planned = app.desk.at_hand(&name)?;
        Ok(Json(planned.plan.as_ref().and_then(what).unwrap_or(Value::Null)))
    })
    .await?
}

/// Every place a mark may have.
pub(crate) async fn room(State(app): State<App>, Path((name, mark)): Path<(String, String)>) -> Answer {
    drawn(app, name, move |p| p.room(&mark)).await
}

/// A station of a wing.
#[derive(Deserialize)]
pub(crate) struct Station {
    s_mm: f64,
}

/// The section there.
pub(crate) async fn section(
    State(app): State<App>,
    Path((name, surface)): Path<(String, String)>,
    Query(at): Query<Station>,
) -> Answer {
    drawn(app, name, move |p| p.section(&surface, at.s_mm)).await
}

/// A surface in space.
pub(crate) async fn space(State(app): State<App>, Path((name, surface)): Path<(String, String)>) -> Answer {
    drawn(app, name, move |p| p.space(&surface)).await
}

/// What lies under a surface's skin: ribs and parts.
pub(crate) async fn under(State(app): State<App>, Path((name, surface)): Path<(String, String)>) -> Answer {
    drawn(app, name, move |p| p.under(&surface)).await
}

/// The rule packs that come with the program, and the places each knows.
pub(crate) async fn packs() -> Answer {
    let packs: Vec<Value> = plan::rules::builtin()
        .iter()
        .filter_map(|(id, text)| plan::rules::Pack::read(id, text).ok())
        .map(|p| {
            let places: Vec<&str> = p.locations.iter().map(|l| l.id.as_str()).collect();
            json!({ "id": p.id, "title": p.title, "edition": p.edition, "locations": places })
        })
        .collect();
    Ok(Json(json!(packs)))
}

/// The words the keys of a job file may hold, and their defaults.
pub(crate) async fn words() -> Json<Value> {
    static WORDS: std::sync::OnceLock<Value> = std::sync::OnceLock::new();
    Json(WORDS.get_or_init(crate::words::words).clone())
}
