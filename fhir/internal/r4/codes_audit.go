package r4

import models "github.com/samply/golang-fhir-models/fhir-models/fhir"

// What an event of the trace is said to be. Codes and displays: the value sets
// audit-event-type and audit-event-sub-type of R4, which take them from DICOM Part 16;
// those of agent, source and entity: HL7's examples of AuditEvent and IHE's basic audit
// patterns. No display stands where one was read in two spellings.
const (
	dicomSystem      = "http://dicom.nema.org/resources/ontology/DCM"
	agentTypeSystem  = "http://terminology.hl7.org/CodeSystem/extra-security-role-type"
	sourceTypeSystem = "http://terminology.hl7.org/CodeSystem/security-source-type"
	entityTypeSystem = "http://terminology.hl7.org/CodeSystem/audit-entity-type"
	entityRoleSystem = "http://terminology.hl7.org/CodeSystem/object-role"
)

func dicom(code, display string) Standard { return Standard{dicomSystem, code, display} }

// Types and subtypes of an AuditEvent.
var (
	auditLogUsed        = dicom("110101", "Audit Log Used")
	auditExport         = dicom("110106", "Export")
	auditPatientRecord  = dicom("110110", "Patient Record")
	auditAlert          = dicom("110113", "Security Alert")
	auditAuthentication = dicom("110114", "User Authentication")
	auditLogin          = dicom("110122", "Login")
	auditLogout         = dicom("110123", "Logout")
	auditNode           = dicom("110126", "Node Authentication")
	auditOverride       = dicom("110127", "Emergency Override Started")
	auditConfiguration  = dicom("110129", "Security Configuration")
	auditSoftware       = dicom("110131", "Software Configuration")
	auditRestricted     = dicom("110132", "Use of Restricted Function")
	auditRoles          = dicom("110136", "Security Roles Changed")
	auditUser           = dicom("110137", "")

	AuditPerson      = Standard{agentTypeSystem, "humanuser", "human user"}
	AuditServer      = Standard{sourceTypeSystem, "4", "Application Server"}
	AuditEntity      = Standard{entityTypeSystem, "1", "Person"}
	AuditPatientRole = Standard{entityRoleSystem, "1", "Patient"}
)

// AuditKind is what an event is said to be in FHIR.
type AuditKind struct {
	Type, Subtype Standard // a Subtype without a code: there is none
	Action        models.AuditEventAction
	Refused       bool // the outcome is a minor failure
}

// AuditKinds are all kinds of events by the word of the trace.
var AuditKinds = map[string]AuditKind{
	"sign-in":         {auditAuthentication, auditLogin, models.AuditEventActionE, false},
	"sign-in-refused": {auditAuthentication, auditLogin, models.AuditEventActionE, true},
	"too-many-tries":  {auditAuthentication, auditLogin, models.AuditEventActionE, true},
	"sign-out":        {auditAuthentication, auditLogout, models.AuditEventActionE, false},
	"session-ended":   {auditAuthentication, auditLogout, models.AuditEventActionE, false},
	"password-set":    {auditAlert, auditUser, models.AuditEventActionU, false},
	"pin-set":         {auditAlert, auditUser, models.AuditEventActionU, false},
	"let-in":          {auditAlert, auditUser, models.AuditEventActionU, false},
	"looked-beyond":   {auditAlert, auditOverride, models.AuditEventActionE, false},
	"read":            {auditPatientRecord, Standard{}, models.AuditEventActionR, false},
	"charted":         {auditPatientRecord, Standard{}, models.AuditEventActionC, false},
	"corrected":       {auditPatientRecord, Standard{}, models.AuditEventActionU, false},
	"handed-over":     {auditPatientRecord, Standard{}, models.AuditEventActionC, false},
	"exported":        {auditExport, Standard{}, models.AuditEventActionR, false},
	"printed":         {auditExport, Standard{}, models.AuditEventActionR, false},
	"sent":            {auditExport, Standard{}, models.AuditEventActionR, false},
	"policy":          {auditAlert, auditSoftware, models.AuditEventActionU, false},
	"refused":         {auditAlert, auditRestricted, models.AuditEventActionE, true},
	"people":          {auditAlert, auditRoles, models.AuditEventActionU, false},
	"programs":        {auditAlert, auditConfiguration, models.AuditEventActionU, false},
	"token":           {auditAuthentication, auditNode, models.AuditEventActionE, false},
	"token-refused":   {auditAuthentication, auditNode, models.AuditEventActionE, true},
	"trace-lost":      {auditAlert, Standard{}, models.AuditEventActionE, false},
	"trace-read":      {auditLogUsed, Standard{}, models.AuditEventActionR, false},
}
