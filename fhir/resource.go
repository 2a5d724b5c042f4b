package fhir

import "cotline/fhir/internal/r4"

// Resource is one resource and its canonical bytes, in which it refers to others
// as Type/id. Type, ID, Infant (empty: shared by several), Identifier and JSON are
// for whoever sends it; the rest is for the packages below this one.
type Resource = r4.Resource

// SiteCodes are codings that a site adds after an own code, under its own licences.
type SiteCodes = r4.SiteCodes
