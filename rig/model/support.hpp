// support.hpp: the value types of the model's geometry: a support function at one angle, its change along the
// lobe, and a turned angle with its cosine and sine.
#pragma once

#include <cmath>

namespace lobewright {

/// One figure at the front and one at the rear indicator or lobe edge.
struct Edges {
    double front = 0.0;
    double rear = 0.0;
};

/// A support function at one angle: what a flat follower reads over the cam centre, and its derivatives.
struct Support {
    double h = 0.0;   // mm
    double h1 = 0.0;  // mm/rad: how far the contact lies to the side
    double h2 = 0.0;  // mm/rad^2

    /// Radius of curvature of the outline, mm; the outline is convex where it is positive.
    [[nodiscard]] double radius() const { return h + h2; }

    Support& operator+=(const Support& other) {
        h += other.h;
        h1 += other.h1;
        h2 += other.h2;
        return *this;
    }
};

inline Support operator+(Support a, const Support& b) {
    return a += b;
}

inline Support operator*(double factor, const Support& s) {
    return {factor * s.h, factor * s.h1, factor * s.h2};
}

/// A support function that changes linearly along z: at mid-lobe, and per mm towards the rear.
struct Section {
    Support middle;
    Support per_mm;

    [[nodiscard]] Support at(double z_mm) const { return middle + z_mm * per_mm; }

    Section& operator+=(const Section& other) {
        middle += other.middle;
        per_mm += other.per_mm;
        return *this;
    }
};

/// An angle with its cosine and sine, which a row needs several times over.
struct Turned {
    double rad = 0.0;
    double cos = 1.0;
    double sin = 0.0;

    explicit Turned(double angle_rad) : rad(angle_rad), cos(std::cos(angle_rad)), sin(std::sin(angle_rad)) {}
    Turned(double angle_rad, double cosine, double sine) : rad(angle_rad), cos(cosine), sin(sine) {}

    /// The same angle counted from `zero`.
    [[nodiscard]] Turned from(const Turned& zero) const {
        return {rad - zero.rad, cos * zero.cos + sin * zero.sin, sin * zero.cos - cos * zero.sin};
    }
};

}  // namespace lobewright
