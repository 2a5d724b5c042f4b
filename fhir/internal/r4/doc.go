// Package r4 makes single FHIR R4 (4.0.1) resources that are sound, and knows nothing of
// who makes them.
//
// A concept is one of the codes of codes*.go: our own, with those
// of published systems beside it. A Model has its status apart, and is not encoded without
// one, because the zero value of an enumeration encodes as a valid code. The encoder writes resourceType first, keeps
// the decimals of a number as they were charted, and gives the same bytes for the same
// resource. The checker reads what was written as plain JSON, by a scanner of its own,
// and names each fault by its path; whatever leaves passes it first.
//
// A code that was ever sent is never taken away and never comes to mean something else.
// The checker knows the shapes and the invariants that this program can break, not all
// of R4: HL7's validator in internal/oracle is the second opinion.
package r4
