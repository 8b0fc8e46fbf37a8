//! What the page asks of the server, and the answers: JSON under `/api`.

use crate::assets;
use crate::clock;
use crate::desk::{Desk, DeskError, Seen};
use crate::edit::{self, Edit};
use crate::folder::FolderError;
use crate::guard::Guard;
use crate::record::{Records, Said};
use axum::Json;
use axum::extract::{Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use serde_json::{Value, json};
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio_stream::{Stream, StreamExt, wrappers::BroadcastStream};

/// What every answer is made from.
#[derive(Clone, Debug)]
pub(crate) struct App {
    /// The jobs.
    pub(crate) desk: Arc<Desk>,
    /// Their records.
    pub(crate) records: Arc<Records>,
    /// Secrets.
    pub(crate) guard: Arc<Guard>,
    /// How a phone reaches the server; empty without a network.
    pub(crate) lan: String,
    /// The job to open first; empty for the start page.
    pub(crate) first: String,
    /// Files of the sample job: the job itself first.
    pub(crate) demo: &'static [(&'static str, &'static [u8])],
}

/// A refusal in words, with its status.
pub(crate) struct Refused(StatusCode, Value);

impl IntoResponse for Refused {
    fn into_response(self) -> Response {
        (self.0, Json(self.1)).into_response()
    }
}

impl From<FolderError> for Refused {
    fn from(why: FolderError) -> Refused {
        let status = match why {
            FolderError::Changed | FolderError::Exists | FolderError::Held => StatusCode::CONFLICT,
            FolderError::NotThere => StatusCode::NOT_FOUND,
            FolderError::BadName => StatusCode::BAD_REQUEST,
            FolderError::System(_) => StatusCode::INTERNAL_SERVER_ERROR,
        };
        Refused(status, json!({ "message": why.to_string(), "problems": [] }))
    }
}

impl From<DeskError> for Refused {
    fn from(why: DeskError) -> Refused {
        match why {
            DeskError::Folder(why) => why.into(),
            DeskError::Refused(problems) => {
                let message = problems.first().map_or("", |p| p.message.as_str());
                Refused(StatusCode::UNPROCESSABLE_ENTITY, json!({ "message": message, "problems": problems }))
            }
            DeskError::NothingToUndo => {
                let message = "there is nothing to take back, or the file was changed elsewhere since";
                Refused(StatusCode::CONFLICT, json!({ "message": message, "problems": [] }))
            }
        }
    }
}

pub(crate) type Answer = Result<Json<Value>, Refused>;

/// Runs what takes a while away from the sockets.
pub(crate) async fn aside<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Refused> {
    tokio::task::spawn_blocking(work).await.map_err(|_| {
        Refused(
            StatusCode::INTERNAL_SERVER_ERROR,
            json!({ "message": "the plan could not be made; this is a fault of ours", "problems": [] }),
        )
    })
}

/// The page.
pub(crate) async fn index(State(app): State<App>) -> Response {
    assets::index(&app.guard.token)
}

/// The jobs of the folder, and how a phone gets in.
pub(crate) async fn jobs(State(app): State<App>) -> Answer {
    let desk = app.desk.clone();
    let jobs = aside(move || {
        let title = |name: &String| {
            let text = desk.folder.read(name).ok();
            let values = text.as_deref().and_then(edit::as_json);
            values.and_then(|v| v["title"].as_str().map(str::to_owned)).unwrap_or_default()
        };
        let names = desk.folder.jobs();
        names.iter().map(|n| json!({ "name": n, "title": title(n) })).collect::<Vec<Value>>()
    });
    Ok(Json(json!({
        "jobs": jobs.await?, "first": app.first, "lan": app.lan, "code": app.guard.code(), "now_ms": clock::now_ms(),
    })))
}

/// A new job: the sample, or a template.
#[derive(Deserialize)]
pub(crate) struct NewJob {
    name: String,
    kind: String,
}

/// Makes a new job.
pub(crate) async fn new_job(State(app): State<App>, Json(new): Json<NewJob>) -> Result<Response, Refused> {
    use plan::job::TemplateKind;
    let text = if new.kind == "demo" {
        let Some(((_, job), rest)) = app.demo.split_first() else { return Err(FolderError::NotThere.into()) };
        for (name, bytes) in rest {
            app.desk.folder.put_if_absent(name, bytes)?;
        }
        String::from_utf8_lossy(job).into_owned()
    } else {
        let kind = TemplateKind::ALL.into_iter().find(|k| k.name() == new.kind);
        plan::job::template_bare(kind.ok_or(FolderError::BadName)?)
    };
    app.desk.folder.create(&new.name, &text)?;
    let name = new.name;
    aside(move || seen(&name, &app.desk.look(&name)?)).await?
}

/// What the page has already.
#[derive(Deserialize)]
pub(crate) struct Known {
    /// The revision it shows.
    #[serde(default)]
    known: String,
}

/// A job, planned; short if the page has it as it is.
pub(crate) async fn job(
    State(app): State<App>,
    Path(name): Path<String>,
    Query(page): Query<Known>,
) -> Result<Response, Refused> {
    aside(move || {
        let now = app.desk.look(&name)?;
        if now.planned.revision == page.known {
            return Ok(Json(json!({ "same": true, "undo": now.undo, "redo": now.redo })).into_response());
        }
        seen(&name, &now)
    })
    .await?
}

fn seen(name: &str, seen: &Seen) -> Result<Response, Refused> {
    let text = format!(
        "{{\"undo\":{},\"redo\":{},{}}}",
        json!(seen.undo),
        json!(seen.redo),
        seen.planned.told(name)
    );
    Ok(([(header::CONTENT_TYPE, "application/json")], text).into_response())
}

/// Edits to a job that is still at a revision.
#[derive(Deserialize)]
pub(crate) struct Edits {
    revision: String,
    #[serde(default)]
    edits: Vec<Edit>,
    #[serde(default)]
    text: Option<String>,
    /// Steps of one typing share a key and are taken back as one.
    #[serde(default)]
    merge: String,
}

/// Changes a job.
pub(crate) async fn change(
    State(app): State<App>,
    Path(name): Path<String>,
    Json(asked): Json<Edits>,
) -> Result<Response, Refused> {
    aside(move || {
        let desk = &app.desk;
        let done = match &asked.text {
            Some(text) => desk.retype(&name, &asked.revision, text),
            None => desk.edit(&name, &asked.revision, &asked.edits, &asked.merge),
        };
        seen(&name, &done?)
    })
    .await?
}

/// Takes a change back.
pub(crate) async fn undo(State(app): State<App>, Path(name): Path<String>) -> Result<Response, Refused> {
    aside(move || seen(&name, &app.desk.step(&name, true)?)).await?
}

/// Does it again.
pub(crate) async fn redo(State(app): State<App>, Path(name): Path<String>) -> Result<Response, Refused> {
    aside(move || seen(&name, &app.desk.step(&name, false)?)).await?
}

/// A file of the plan.
pub(crate) async fn file(
    State(app): State<App>,
    Path((name, path)): Path<(String, String)>,
) -> Result<Response, Refused> {
    aside(move || {
        let planned = app.desk.look(&name)?.planned;
        let bytes = planned.file(&path).ok_or(FolderError::NotThere)?.to_vec();
        let kind = match path.rsplit('.').next() {
            Some("svg") => "image/svg+xml",
            Some("pdf") => "application/pdf",
            Some("json") => "application/json",
            Some("ics") => "text/calendar; charset=utf-8",
            _ => "application/octet-stream",
        };
        Ok(([(header::CONTENT_TYPE, kind)], bytes).into_response())
    })
    .await?
}

/// Paths of the plan's files.
pub(crate) async fn files(State(app): State<App>, Path(name): Path<String>) -> Answer {
    aside(move || Ok(Json(json!(app.desk.look(&name)?.planned.paths())))).await?
}

/// The record of a job.
pub(crate) async fn record(State(app): State<App>, Path(name): Path<String>) -> Answer {
    let events = app.records.read(&app.desk.folder, &name)?;
    Ok(Json(json!({ "events": events, "now_ms": clock::now_ms() })))
}

/// Adds to the record.
pub(crate) async fn add_record(
    State(app): State<App>,
    Path(name): Path<String>,
    Json(said): Json<Said>,
) -> Answer {
    aside(move || {
        let events = app.records.add(&app.desk.folder, &name, said)?;
        let now = events.len().to_string();
        let _ = app.desk.news.send(crate::desk::News { job: name, what: "record", now });
        Ok(Json(json!({ "events": events, "now_ms": clock::now_ms() })))
    })
    .await?
}

/// News of all jobs as they come. A listener that was too slow is told to look again.
pub(crate) async fn news(State(app): State<App>) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let stream = BroadcastStream::new(app.desk.news.subscribe()).map(|news| {
        let text = match news {
            Ok(news) => serde_json::to_string(&news).unwrap_or_default(),
            Err(_) => String::from("{\"job\":\"\",\"what\":\"all\",\"now\":\"\"}"),
        };
        Ok(Event::default().data(text))
    });
    Sse::new(stream).keep_alive(KeepAlive::new().interval(Duration::from_secs(15)))
}

/// A code read from the screen.
#[derive(Deserialize)]
pub(crate) struct Code {
    #[serde(default)]
    code: String,
}

/// Lets a phone in; without a code, asks for it.
pub(crate) async fn pair(State(app): State<App>, Query(asked): Query<Code>) -> Response {
    let code = asked.code.trim().to_lowercase();
    if code.is_empty() {
        return assets::pairing("").into_response();
    }
    match app.guard.pair(&code) {
        Some(cookie) => ([(header::SET_COOKIE, cookie)], Redirect::to("/")).into_response(),
        None => {
            let why = "That is not the code, or another phone has used it: read the one on the screen now.";
            (StatusCode::UNAUTHORIZED, assets::pairing(why)).into_response()
        }
    }
}

/// The way in as a square code for a phone's camera, SVG.
pub(crate) async fn pair_picture(State(app): State<App>) -> Response {
    let url = format!("{}/pair?code={}", app.lan, app.guard.code());
    match crate::square_code::svg(&url) {
        Some(svg) if !app.lan.is_empty() => ([(header::CONTENT_TYPE, "image/svg+xml")], svg).into_response(),
        _ => (StatusCode::NOT_FOUND, "the server was not started with --lan").into_response(),
    }
}
