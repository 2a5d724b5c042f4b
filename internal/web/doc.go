// Package web serves the unit's pages: it signs people in, shows the ward and its
// infants, and tells every request that it has no right to the same as one for something
// that is not there.
//
// # Shape
//
// routes.go is the one list of what is answered, each route with the permission that it
// needs and its action; an action is a file. An action gets a request that is proven and
// allowed, and returns an answer: it never sees the connection. The answer's page is
// rendered to a buffer; only then is anything sent. Templates are parsed when the server
// is made, and a page that is named and not there fails there.
//
// Round the routes (new.go), from the outside in: an id for each request and the headers that every
// answer has, also those of paths that are none (harden.go); the log and the end of panics
// (log.go); limits on how often, how much and how long (limit.go); no posts from other
// sites. Live (live.go) keeps what is compiled.
//
// # What is promised
//
//   - No route answers without its permission; the test of all routes walks the list.
//   - What is not there, and what is there and not for whoever asks, get one answer.
//   - Nothing of an infant is sent of which no trace could be kept. A page that stays open
//     and updates itself is traced once in tracedEvery.
//   - No patient's data is in an address, a header or the log: keys of the record stand in
//     paths, and the log has the route, not the path.
//   - No script and no style stands within a page, and none comes from elsewhere.
//
// # Caveats
//
//   - A device keeps pages of the own infants, and forms that wait (kept.go, queued.go): what
//     is read there is traced when it is sent to be kept.
//   - Limits of how often live in memory of this process.
//   - Behind a proxy the address of who asks is what the proxy says, and only of proxies
//     that were named.
package web
