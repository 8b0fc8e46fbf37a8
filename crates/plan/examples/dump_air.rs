//! Dew points over a grid of air and humidity, one line each: air in C, humidity in per cent, dew point in C. For the
//! outside check of them.

#[allow(clippy::print_stdout, reason = "an example that prints is what the check reads")]
fn main() {
    for air in (-100..=450).step_by(5) {
        for humidity in (5..=100).step_by(1) {
            let (air, humidity) = (f64::from(air) / 10.0, f64::from(humidity));
            println!("{air} {humidity} {:.6}", plan::spray::psychro::dew_point_c(air, humidity));
        }
    }
}
