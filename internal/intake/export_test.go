package intake

// NDJSONWithin reads lines within other bounds.
var NDJSONWithin = ndjson
