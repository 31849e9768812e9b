#pragma once
// How one aeroplane is flown under one policy at one bank: its gliders, turns and entry.

#include "connection.hpp"

namespace backfield::flight {

/// With landing flap and in a slip the glide ratio is taken as the file has it: a worse one would lose more height.
Gliders make_gliders(const PathFinderSetup& setup, const Medium& medium);

/// What the power left pushes with against height above the datum, once at the aerodrome where density is; empty when
/// the power is off. `setup` must outlive it.
Push push_of(const PathFinderSetup& setup);

/// gliders     must outlive what is returned
Style make_style(const PathFinderSetup& setup, const Gliders& gliders);

}  // namespace backfield::flight
