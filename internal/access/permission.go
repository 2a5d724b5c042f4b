package access

import "slices"

// Permission is one thing that may be done in a unit.
type Permission string

// Permissions. A route or a command names the one that it needs.
const (
	ReadInfants    Permission = "read-infants"    // the ward's list, an infant's page, a handover
	Chart          Permission = "chart"           // take entries, corrections included
	ChartSheets    Permission = "chart-sheets"    // take a workbook that was filled in
	HandOver       Permission = "hand-over"       // sign a handover
	Print          Permission = "print"           // a handover on paper or as a file for it
	Export         Permission = "export"          // workbook, tables, bundles as files
	ReadFHIR       Permission = "read-fhir"       // from the FHIR endpoint
	ReceiveFHIR    Permission = "receive-fhir"    // have bundles sent
	LetIn          Permission = "let-in"          // let a colleague in for one shift
	LookBeyond     Permission = "look-beyond"     // look at another unit's infants in an emergency
	ManagePeople   Permission = "manage-people"   // accounts, roles, sessions of others
	ManagePrograms Permission = "manage-programs" // registrations of programs
	ManagePolicy   Permission = "manage-policy"   // the unit's policy
	ReadTrace      Permission = "read-trace"      // who did what; who looked beyond their unit
	OwnAccount     Permission = "own-account"     // one's own password, PIN, sessions
)

// Role is a job in a unit.
type Role string

// Roles.
const (
	Nurse      Role = "nurse"
	Charge     Role = "charge" // nurse in charge of a shift
	Clerk      Role = "clerk"
	Integrator Role = "integrator"
	Keeper     Role = "keeper"
)

// Roles are all roles, as they are listed.
var Roles = []Role{Nurse, Charge, Clerk, Integrator, Keeper}

// A Grant is a row of the table of permissions.
type Grant struct {
	Permission Permission
	Roles      []Role
	Says       string // what it is for
}

// Grants is the one table of which role may do what. A keeper keeps people and policy and
// sees no infant; who needs both has both roles.
var Grants = []Grant{
	{ReadInfants, []Role{Nurse, Charge}, "look at the unit's infants"},
	{Chart, []Role{Nurse, Charge}, "chart and correct"},
	{ChartSheets, []Role{Nurse, Charge, Clerk}, "take workbooks that were filled in"},
	{HandOver, []Role{Nurse, Charge}, "sign a handover"},
	{Print, []Role{Nurse, Charge}, "print a handover"},
	{Export, []Role{Clerk}, "export workbooks, tables and bundles"},
	{ReadFHIR, []Role{Integrator}, "read from the FHIR endpoint"},
	{ReceiveFHIR, []Role{Integrator}, "have bundles sent"},
	{LetIn, []Role{Charge}, "let a colleague in for one shift"},
	{LookBeyond, []Role{Nurse, Charge}, "look beyond the own unit in an emergency"},
	{ManagePeople, []Role{Keeper}, "add people, give roles, lock and reset accounts"},
	{ManagePrograms, []Role{Keeper}, "register programs"},
	{ManagePolicy, []Role{Keeper}, "put a policy in force"},
	{ReadTrace, []Role{Keeper}, "read who did what"},
	{OwnAccount, Roles, "change the own password, PIN and sessions"},
}

// has says whether one of some roles has a permission.
func has(roles []Role, p Permission) bool {
	for _, g := range Grants {
		if g.Permission == p {
			return slices.ContainsFunc(roles, func(r Role) bool { return slices.Contains(g.Roles, r) })
		}
	}
	return false
}

// IsRole says whether there is such a role.
func IsRole(r Role) bool { return slices.Contains(Roles, r) }
