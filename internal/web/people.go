package web

import (
	"errors"
	"maps"
	"net/http"
	"slices"

	"cotline/internal/access"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// peoplePage are the accounts of a unit, for its keeper.
type peoplePage struct {
	Unit, Path    string
	People        []personRow
	Roles         []forms.Option // for somebody new, as they were ticked
	Name, Shown   string         // as they were typed
	Problem, Done string
	Damaged       []string // names of accounts that cannot be read
	Link, For     string   // a link that was made just now, and whose
	Good          string   // how long it holds
}

// personRow is an account with what can be changed of it here.
type personRow struct {
	Name, Shown, Elsewhere string
	Locked, Mine           bool
	AtHome                 bool // its password and lock are this unit's
	Provider               bool // she signs in at the hospital's, which gives her roles
	Roles                  []forms.Option
}

func showPeople(s *Server, r *request) (answer, error) {
	made, shown := s.once.take(r, peoplePath(r.unit), s.Now())
	p := peoplePage{Link: made.secret, For: made.whose, Good: waiting(s.Access.Limits.Link)}
	if shown {
		p.Problem = words.Say("The link is shown once, and not again. If nobody has it, take the password away and make another.")
	}
	return s.peoplePage(r, p, 0)
}

func (s *Server) peoplePage(r *request, p peoplePage, status int) (answer, error) {
	all, damaged, err := s.Access.People(r.Context(), r.who)
	if err != nil {
		return answer{}, err
	}
	p.Unit, p.Path, p.Damaged = r.unit, peoplePath(r.unit), damaged
	if p.Roles == nil {
		p.Roles = roleOptions(nil)
	}
	for _, q := range all {
		if _, here := q.Roles[r.unit]; !here && q.Unit != r.unit {
			continue
		}
		row := personRow{Name: q.Name, Shown: q.Shown, Locked: q.Locked, Mine: q.Name == r.who.Name, AtHome: q.Unit == r.unit,
			Provider: q.Provider, Roles: roleOptions(q.Roles[r.unit])}
		others := maps.Clone(q.Roles)
		delete(others, r.unit)
		row.Elsewhere = access.RolesText(others)
		p.People = append(p.People, row)
	}
	return answer{status: status, page: "people", title: words.Say("People"), data: p}, nil
}

// roleOptions are all roles, those that are given chosen.
func roleOptions(given []access.Role) (out []forms.Option) {
	for _, role := range access.Roles {
		out = append(out, forms.Option{Value: string(role), Label: string(role), Checked: slices.Contains(given, role)})
	}
	return out
}

func asRoles(texts []string) (out []access.Role) {
	for _, text := range texts {
		out = append(out, access.Role(text))
	}
	return out
}

// addPerson makes an account.
func addPerson(s *Server, r *request) (answer, error) {
	roles := asRoles(r.PostForm["role"])
	p := peoplePage{Name: r.PostForm.Get("name"), Shown: r.PostForm.Get("shown"), Roles: roleOptions(roles)}
	link, err := s.Access.AddPerson(r.Context(), r.who, r.from, access.Person{Name: p.Name, Shown: p.Shown, Unit: r.unit,
		Roles: map[string][]access.Role{r.unit: roles}})
	if err != nil {
		return s.notKept(r, p, err)
	}
	return s.linked(r, link, p.Name), nil
}

// linkPerson takes a password away, and makes the link to a new one.
func linkPerson(s *Server, r *request) (answer, error) {
	name := r.PostForm.Get("name")
	if name == r.who.Name {
		return s.notOneself(r)
	}
	link, err := s.Access.Reset(r.Context(), r.who, r.from, name)
	if err != nil {
		return s.notKept(r, peoplePage{}, err)
	}
	return s.linked(r, link, name), nil
}

// linked goes on to the page that shows the link, once.
func (s *Server) linked(r *request, link, name string) answer {
	return answer{to: s.once.keep(r.who.Session, peoplePath(r.unit), access.LinkPath+link, name, s.Now())}
}

// giveRoles gives the roles that are ticked in place of those before.
func giveRoles(s *Server, r *request) (answer, error) {
	name, roles := r.PostForm.Get("name"), asRoles(r.PostForm["role"])
	if name == r.who.Name && !slices.Contains(roles, access.Keeper) {
		return s.notOneself(r)
	}
	if err := s.Access.SetRoles(r.Context(), r.who, r.from, name, r.unit, roles); err != nil {
		return s.notKept(r, peoplePage{}, err)
	}
	return s.peoplePage(r, peoplePage{Done: words.Say("The roles of %s in this unit are as ticked.", name)}, 0)
}

// lockPerson locks an account, which ends its sessions, or opens it.
func lockPerson(s *Server, r *request) (answer, error) {
	name, lock := r.PostForm.Get("name"), r.PostForm.Get("lock") == "yes"
	if lock && name == r.who.Name {
		return s.notOneself(r)
	}
	if err := s.Access.Lock(r.Context(), r.who, r.from, name, lock); err != nil {
		return s.notKept(r, peoplePage{}, err)
	}
	done := words.Say("%s may sign in again.", name)
	if lock {
		done = words.Say("%s is locked, and signed out everywhere.", name)
	}
	return s.peoplePage(r, peoplePage{Done: done}, 0)
}

// notOneself refuses what would keep a keeper from these pages herself, by a slip.
func (s *Server) notOneself(r *request) (answer, error) {
	p := peoplePage{Problem: words.Say("Nothing was changed: this is your own account, and another keeper does that.")}
	return s.peoplePage(r, p, http.StatusUnprocessableEntity)
}

// notKept says on the page why nothing was changed; what is no fault of what was typed stays
// an error.
func (s *Server) notKept(r *request, p peoplePage, err error) (answer, error) {
	var unfit *access.Unfit
	switch {
	case errors.As(err, &unfit):
		p.Problem = words.Say("Nothing was changed: %s.", unfit.Error())
	case errors.Is(err, access.ErrTaken):
		p.Problem = words.Say("Nothing was changed: somebody has that name already.")
	case errors.Is(err, access.ErrNoPerson):
		p.Problem = words.Say("Nothing was changed: there is nobody of that name.")
	case errors.Is(err, access.ErrNotAllowed):
		p.Problem = words.Say("Nothing was changed: a keeper of her own unit does that.")
	default:
		return answer{}, err
	}
	return s.peoplePage(r, p, http.StatusUnprocessableEntity)
}
