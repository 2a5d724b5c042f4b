// Package fhir says the record as HL7 FHIR R4 (4.0.1) resources.
//
// # Terms
//
// An Export is what a receiver is to hold: of each infant admitted at a moment,
// every resource that the entries of the stay yield, as known at another moment.
// A fact is what one entry says under one role; it becomes one resource, whose id
// and business identifier come of the entry's id and the role. A period of use of
// a device becomes one DeviceUseStatement, named after the entry that began it.
//
// # What holds
//
// The same entries give the same bytes, in whatever order they come: nothing here
// reads a clock, a file, the network or chance. Numbers leave to the digit as they
// were charted, moments with the offset they were charted with. What was not
// charted yields nothing; what was looked for and not found yields a value. A
// corrected fact keeps its id, says corrected, and says why; a retracted one is
// not sent, and a receiver that holds it is told by a delta. Figures are never
// computed here: they come from package handover.
//
// Patient, Practitioner, Encounter, Location and Organization are the hospital's.
// A Patient is sent for a receiver that has none of that hospital number; people
// are referred to by their staff key, and are sent, as stays and cots are, only
// where the policy's fhir.send names them, and in documents.
//
// # What is so at a moment
//
// A Task for something due and a Flag are of the moment that is asked for, not of an
// entry: a full export holds those that are open then, and a delta closes those that
// are over, as completed, cancelled or inactive. Tasks and plans that were charted
// are facts of their entries, and are sent with their outcome.
//
// # Read back without loss
//
// The text of every entry is carried: as the extension care-entry of the first
// resource that the entry yields, else on a Basic resource, with what corrects or
// retracts it. From a collection, NDJSON, or a transaction of a policy whose
// fhir.send names Basic, the handover of the same moments compiles to the letter:
// of those who left in the window what their leaving is told from is carried too.
// A transaction without Basic still carries what yields a resource. A document is
// of one infant: it carries what is charted for it and the handovers that name it,
// not the unit's own notes and tasks, and not what proved to be another infant's.
// The name of an infant whose name is not shown is never carried.
//
// # Read from others
//
// Of what others wrote a few vital signs become entries, where each is exactly what
// a nurse would chart; the rest is left aside, with why, and what breaks R4 refuses
// the whole offer. A blood gas is left aside too: others send it value by value, each
// under an identifier of its own, and the values that belong to one sample would
// become entries apart. Elements that R4 demands are looked for in the JSON, since a model
// fills them in. The entry's id follows from the sender's identifier: the same again
// is the same entry, its sender's correction a correction of it, its withdrawal a
// retraction. What a person of the record decided stays. An infant is told by
// identifiers; a Patient admits and renames nobody unless somebody says so.
//
// # Vital signs and settings
//
// SpO2, heart rate, respiratory rate, axillary temperature, weight and head
// circumference follow the R4 vital-sign profiles, which validators apply by the
// LOINC code whatever meta.profile says. What is set on a device is filed as
// therapy, under codes of its own, and never as a component of a vital sign, where
// R4 allows neither L/min nor cm[H2O].
//
// # Caveats
//
// This is an aid to handover: not a device, not a monitor, not an order. The
// record, local policy, the prescriber and the manufacturer's instructions win;
// look at the infant. Receivers differ in what they make of a bundle; one mode a
// receiver, for good. Older content must not be sent over newer: a transaction
// carries no versions.
package fhir
