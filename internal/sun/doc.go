// Package sun tells where the sun stands over a set, when it rises and sets
// there, and how bright it and the sky are: the hard source that an overhead
// frame has to soften, and the light that is left when it does.
//
// [At] gives the position for one instant by the NREL Solar Position
// Algorithm; [Arc] answers many instants of one shooting window at a small
// fraction of the cost; [DayOf] gives the events of the site's own local day;
// [DaylightAt] turns a position into illuminances.
//
// Angles are degrees, azimuth clockwise from true north, lengths metres,
// illuminances lux. Functions are pure and safe for concurrent use, and give
// finite results for every finite input. UTC is taken as UT1: their
// difference, at most 0.9 s, moves the sun by at most 0.004°. The algorithm's
// own uncertainty is 0.0003° for the years -2000 to 6000; outside them the
// Earth is held at the nearest end of that range, so the answer stays finite
// but means nothing.
package sun
