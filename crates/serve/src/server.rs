//! Listening, routing, and coming to an end in good order.

use crate::api::{self, App};
use crate::assets;
use crate::desk::{Desk, MoreFiles};
use crate::folder::{Folder, FolderError};
use crate::guard::{Guard, guard};
use crate::{listen, looks};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware;
use axum::routing::{get, post};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tower_http::CompressionLevel;
use tower_http::compression::CompressionLayer;
use tower_http::timeout::TimeoutLayer;

/// Largest request body, bytes. chosen: the largest job file, and a little for its wrapping.
const LARGEST_BODY: usize = plan::job::LARGEST_FILE + (64 << 10);
/// Longest time for one answer. chosen: the slowest plan is a tenth of it; a stream of news is not one answer.
const LONGEST_ANSWER: Duration = Duration::from_secs(60);
/// How long answers under way are waited for at the end; open streams are cut.
const LAST_WORDS: Duration = Duration::from_secs(1);

/// What to serve, and where.
#[derive(Clone, Debug)]
pub struct Settings {
    /// The folder of jobs.
    pub folder: PathBuf,
    /// The job to open first; empty for none.
    pub first: String,
    /// The port; 0 = any that is free.
    pub port: u16,
    /// True to listen on the local network too.
    pub lan: bool,
    /// The sample job and the files it names, the job first.
    pub demo: &'static [(&'static str, &'static [u8])],
    /// Makes all files of a plan.
    pub files: MoreFiles,
}

/// Why the server cannot start; one sentence each.
#[derive(Debug)]
pub enum ServeError {
    /// The folder.
    Folder(FolderError),
    /// The port or the system.
    System(String),
}

impl std::fmt::Display for ServeError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            ServeError::Folder(why) => why.fmt(f),
            ServeError::System(why) => f.write_str(why),
        }
    }
}

/// A server that listens and has not begun to answer.
#[derive(Debug)]
pub struct Server {
    listener: TcpListener,
    app: App,
    /// Address of the page on this machine.
    pub here: String,
    /// Address with the pairing code for a phone; empty without `lan`.
    pub phone: String,
}

impl Server {
    /// Takes the folder and the port.
    ///
    /// # Errors
    /// If either is taken or cannot be used.
    pub async fn start(settings: Settings) -> Result<Server, ServeError> {
        let folder = Folder::open(&settings.folder).map_err(ServeError::Folder)?;
        let ip = if settings.lan { Ipv4Addr::UNSPECIFIED } else { Ipv4Addr::LOCALHOST };
        let listener = TcpListener::bind((ip, settings.port)).await.map_err(|e| {
            ServeError::System(format!(
                "cannot listen on port {}: {e}\nhint: choose another with --port",
                settings.port
            ))
        })?;
        let port = listener.local_addr().map_err(|e| ServeError::System(e.to_string()))?.port();
        let lan_ip = if settings.lan { own_address() } else { None };
        let guard = Guard::new(port, lan_ip).map_err(ServeError::System)?;
        let lan = lan_ip.map_or_else(String::new, |ip| format!("http://{}", SocketAddr::new(ip, port)));
        let phone = if lan.is_empty() { String::new() } else { format!("{lan}/pair?code={}", guard.code()) };
        let app = App {
            desk: Arc::new(Desk::new(folder, settings.files)),
            records: Arc::default(),
            guard: Arc::new(guard),
            lan,
            first: settings.first,
            demo: settings.demo,
        };
        Ok(Server { listener, app, here: format!("http://127.0.0.1:{port}/"), phone })
    }

    /// Answers until the program is told to end.
    ///
    /// # Errors
    /// If the system takes the port away.
    pub async fn run(self) -> Result<(), ServeError> {
        self.run_until(told_to_end()).await
    }

    /// Answers until `end` comes, then waits a moment for answers under way; open streams are cut.
    ///
    /// # Errors
    /// If the system takes the port away.
    pub async fn run_until(self, end: impl Future<Output = ()>) -> Result<(), ServeError> {
        listen::answer(&self.listener, &routes(self.app), end, LAST_WORDS)
            .await
            .map_err(|e| ServeError::System(e.to_string()))
    }
}

fn routes(app: App) -> Router {
    let answers = Router::new()
        .route("/", get(api::index))
        .route("/pair", get(api::pair))
        .route("/pair.svg", get(api::pair_picture))
        .route("/api/packs", get(looks::packs))
        .route("/api/words", get(looks::words))
        .route("/api/jobs", get(api::jobs).post(api::new_job))
        .route("/api/jobs/{name}", get(api::job).put(api::change))
        .route("/api/jobs/{name}/undo", post(api::undo))
        .route("/api/jobs/{name}/redo", post(api::redo))
        .route("/api/jobs/{name}/try", post(looks::try_place))
        .route("/api/jobs/{name}/where", post(looks::skin_at))
        .route("/api/jobs/{name}/room/{mark}", get(looks::room))
        .route("/api/jobs/{name}/section/{surface}", get(looks::section))
        .route("/api/jobs/{name}/space/{surface}", get(looks::space))
        .route("/api/jobs/{name}/under/{surface}", get(looks::under))
        .route("/api/jobs/{name}/record", get(api::record).post(api::add_record))
        .route("/api/jobs/{name}/files", get(api::files))
        .route("/api/jobs/{name}/files/{*path}", get(api::file))
        .fallback(get(assets::asset))
        .layer(TimeoutLayer::with_status_code(StatusCode::REQUEST_TIMEOUT, LONGEST_ANSWER))
        // Most of an answer is figures, which pack nearly as well in a fifth of the time.
        .layer(CompressionLayer::new().quality(CompressionLevel::Fastest));
    Router::new()
        .route("/api/news", get(api::news))
        .merge(answers)
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .layer(middleware::from_fn_with_state(app.guard.clone(), guard))
        .with_state(app)
}

/// This machine's address on the local network, by asking which one a packet would leave from; none is sent.
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    // An address of the block kept for documentation (RFC 5737).
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    socket.local_addr().ok().map(|a| a.ip()).filter(|ip| !ip.is_unspecified())
}

async fn told_to_end() {
    let interrupt = async {
        let _ = tokio::signal::ctrl_c().await;
    };
    #[cfg(unix)]
    let terminate = async {
        match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
            Ok(mut signal) => {
                signal.recv().await;
            }
            Err(_) => std::future::pending().await,
        }
    };
    #[cfg(not(unix))]
    let terminate = std::future::pending::<()>();
    tokio::select! {
        () = interrupt => (),
        () = terminate => (),
    }
}
