//! The little that is needed of three-dimensional geometry.

pub(super) type Vector = [f64; 3];
pub(super) type Matrix = [Vector; 3];

pub(super) fn sum(a: Vector, b: Vector) -> Vector {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(super) fn difference(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn scaled(a: Vector, factor: f64) -> Vector {
    a.map(|part| part * factor)
}

pub(super) fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

pub(super) fn unit(a: Vector) -> Vector {
    scaled(a, 1.0 / length(a))
}

/// The angle between two directions, radians, exact for small angles too.
pub(super) fn angle(a: Vector, b: Vector) -> f64 {
    let across = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
    length(across).atan2(dot(a, b))
}

pub(super) fn turned(matrix: &Matrix, a: Vector) -> Vector {
    [dot(matrix[0], a), dot(matrix[1], a), dot(matrix[2], a)]
}

/// The direction at these spherical angles, radians.
pub(super) fn direction(longitude: f64, latitude: f64) -> Vector {
    let (sin_lon, cos_lon) = longitude.sin_cos();
    let (sin_lat, cos_lat) = latitude.sin_cos();
    [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat]
}

/// Longitude in 0..2π and latitude of a direction, radians.
pub(super) fn angles(a: Vector) -> (f64, f64) {
    let longitude = a[1].atan2(a[0]).rem_euclid(std::f64::consts::TAU);
    (longitude, a[2].atan2(a[0].hypot(a[1])))
}
