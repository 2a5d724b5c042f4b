package sheets

// The names of sheets, which never change.
const (
	wardName      = "Ward"
	handoverName  = "Handover"
	moreName      = "Handover, more"
	factsName     = "Facts"
	wearsName     = "Interfaces"
	skinName      = "Skin"
	chartsName    = "Charts"
	chartDataName = "Chart data"
	entriesName   = "Entries"
	aboutName     = "About"
)

// historyNames are the sheets of what happened over time, in their order.
var historyNames = []string{"Settings", "Observations", wearsName, skinName, "Tubes", "Growth", "Devices", "Episodes"}

// Headers that stand on several sheets.
const (
	numberHead = "Hospital number, or label"
	keyHead    = "Infant's key"
)

// Words by which a cell is known.
const (
	computed  = "from the record" // in place of a source: the fact does not come from one entry of its own
	notSeen   = "not seen"
	movedWord = "MOVED"
	alsoWith  = " also with "
)
