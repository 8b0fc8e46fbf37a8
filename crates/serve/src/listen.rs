//! Taking connections: a limited number of them, each with a limited patience, so that slow, broken or greedy
//! clients hold up nobody but themselves.

use axum::Router;
use axum::extract::ConnectInfo;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::collections::BTreeMap;
use std::net::{IpAddr, SocketAddr};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::task::JoinSet;

/// Longest wait for the head of a request, also of the next one on a line that is kept. chosen: a phone in a
/// corner of the hangar needs less.
const HEAD: Duration = Duration::from_secs(20);
/// Most connections from one address. chosen: twenty phones behind one; a browser opens six.
const MOST_OF_ONE: usize = 128;
/// Most connections in all. chosen: half of the files a program may commonly have open.
const MOST: usize = 512;

/// How many connections there are from where.
type Seats = Arc<Mutex<BTreeMap<IpAddr, usize>>>;

/// A place among the connections, given back when it is dropped.
struct Seat(Seats, IpAddr);

impl Seat {
    fn take(seats: &Seats, of: IpAddr) -> Option<Seat> {
        let mut taken = seats.lock().unwrap_or_else(PoisonError::into_inner);
        if MOST <= taken.values().sum() || taken.get(&of).is_some_and(|n| MOST_OF_ONE <= *n) {
            return None;
        }
        *taken.entry(of).or_default() += 1;
        Some(Seat(seats.clone(), of))
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let mut taken = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(n) = taken.get_mut(&self.1) {
            *n -= 1;
            if *n == 0 {
                taken.remove(&self.1);
            }
        }
    }
}

/// Answers with `router` until `end`, then waits `last_words` for answers under way and cuts what is left.
///
/// # Errors
/// None today: a connection that cannot be taken is let go.
pub(crate) async fn answer(
    listener: &TcpListener,
    router: &Router,
    end: impl Future<Output = ()>,
    last_words: Duration,
) -> std::io::Result<()> {
    let seats = Seats::default();
    let (ended, ending) = tokio::sync::watch::channel(false);
    let mut lines = JoinSet::new();
    let mut end = std::pin::pin!(end);
    loop {
        tokio::select! {
            () = &mut end => break,
            taken = listener.accept() => match taken {
                Ok((stream, from)) => if let Some(seat) = Seat::take(&seats, from.ip()) {
                    lines.spawn(line(stream, from, router.clone(), ending.clone(), seat));
                },
                // Out of files, or a client that was gone at once: others may be served in a moment.
                Err(_) => tokio::time::sleep(Duration::from_millis(20)).await,
            },
            Some(_) = lines.join_next() => (),
        }
    }
    let _ = ended.send(true);
    let all = async { while lines.join_next().await.is_some() {} };
    // An open stream of news would go on for ever.
    let _ = tokio::time::timeout(last_words, all).await;
    Ok(())
}

/// One connection, until it is closed, or nothing is under way on it at the end.
async fn line(
    stream: TcpStream,
    from: SocketAddr,
    router: Router,
    mut ending: tokio::sync::watch::Receiver<bool>,
    _seat: Seat,
) {
    // Small answers go out at once: a hand that drags a mark waits for them. If the system says no, they go later.
    let _ = stream.set_nodelay(true);
    let service = TowerToHyperService::new(router.layer(axum::Extension(ConnectInfo(from))));
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD)
        .serve_connection(TokioIo::new(stream), service);
    let mut connection = std::pin::pin!(connection);
    // What a client broke is its own loss.
    tokio::select! {
        _ = connection.as_mut() => return,
        _ = ending.wait_for(|e| *e) => connection.as_mut().graceful_shutdown(),
    }
    let _ = connection.await;
}
