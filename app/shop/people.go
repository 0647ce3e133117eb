package shop

import (
	"context"
	"slices"
	"strings"

	"pumpwright/app/access"
	"pumpwright/app/language"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// Person is somebody of the shop, without his secrets.
type Person struct {
	ID       string
	Name     string
	Roles    []access.Role
	Owner    string // whose pumps a customer may see
	Units    string // metric, inch
	Language string // BCP 47; "" when the person has chosen none
	Away     bool   // may not sign in
	Password bool   // has one
	PIN      bool   // has one
}

func personOf(p store.Person) Person {
	roles := make([]access.Role, len(p.Roles))
	for i, r := range p.Roles {
		roles[i] = access.Role(r)
	}
	return Person{ID: p.ID, Name: p.Name, Roles: roles, Owner: p.Owner, Units: p.Units, Language: p.Language, Away: p.Away, Password: p.Password != "", PIN: p.PIN != ""}
}

var (
	msgBadRole    = say.Define("shop.bad_role", "there is no role “{role}”")
	msgRolesAre   = say.Define("shop.roles_are", "the roles are {roles:list}")
	msgNoName     = say.Define("shop.no_name", "the name is missing")
	msgUnits      = say.Define("shop.units", "units are metric or inch")
	msgLastLead   = say.Define("shop.last_lead", "nobody else could change people any more")
	msgKeepLead   = say.Define("shop.keep_lead", "give another person the role lead and a password first")
	msgSetUpOnce  = say.Define("shop.set_up_once", "the shop is set up already")
	msgOldWrong   = say.Define("shop.old_password", "a password is changed by its owner or by a lead")
	msgNotThis    = say.Define("shop.not_this_password", "this is not the password that holds now")
	msgTypeOld    = say.Define("shop.type_old_password", "type it again; a lead can set a new one")
	msgForgotten  = say.Define("shop.forgotten", "a person who was forgotten")
	msgTabletName = say.Define("shop.tablet_name", "name the tablet, so that people know which one it is")
)

// SetUp is the first person of a new shop.
type SetUp struct {
	Shop     string // name of the shop
	Person   string // id
	Name     string
	Password string
	Units    string
}

// mainSite is the site of a shop that has one.
const mainSite = "main"

// NeedsSetUp reports whether nobody can sign in yet.
func (s *Shop) NeedsSetUp(ctx context.Context) (bool, error) {
	sites, err := s.store.Sites(ctx)
	if err != nil {
		return false, err
	}
	for _, site := range sites {
		people, err := s.store.People(ctx, site.ID)
		if err != nil || len(people) > 0 {
			return false, err
		}
	}
	return true, nil
}

// SetUpShop makes the site and its first person, a lead. It works once, as
// long as nobody is there.
func (s *Shop) SetUpShop(ctx context.Context, u SetUp) error {
	needed, err := s.NeedsSetUp(ctx)
	if err != nil {
		return err
	}
	if !needed {
		return say.Refuse("", "", msgSetUpOnce.With(), say.Message{})
	}
	if strings.TrimSpace(u.Shop) == "" {
		return say.Refuse("shop", "", msgNoName.With(), say.Message{})
	}
	if err := access.CheckPassword(u.Password, u.Person, u.Name); err != nil {
		return err
	}
	p := Person{ID: u.Person, Name: u.Name, Roles: []access.Role{access.Lead, access.Office}, Units: u.Units}
	if err := p.check(); err != nil {
		return err
	}
	if err := s.store.AddSite(ctx, store.Site{ID: mainSite, Name: u.Shop, Created: s.stamp()}); err != nil {
		return err
	}
	if err := s.putPerson(ctx, mainSite, p); err != nil {
		return err
	}
	if err := s.gate.SetPassword(ctx, mainSite, p.ID, u.Password); err != nil {
		return err
	}
	sc := Scope{Site: mainSite, Person: p.ID, Roles: p.Roles}
	return s.SaveSettings(ctx, sc, NewFact{}, map[string]any{"name": u.Shop})
}

func (p *Person) check() error {
	if err := checkName("id", p.ID); err != nil {
		return err
	}
	if strings.TrimSpace(p.Name) == "" || len(p.Name) > 200 {
		return say.Refuse("name", p.Name, msgNoName.With(), say.Message{})
	}
	if p.Units == "" {
		p.Units = say.Metric.String()
	}
	if p.Units != say.Metric.String() && p.Units != say.Inch.String() {
		return say.Refuse("units", p.Units, msgUnits.With(), say.Message{})
	}
	if err := language.Check("language", p.Language); err != nil {
		return err
	}
	for _, r := range p.Roles {
		if !slices.Contains(access.Roles(), r) {
			names := make([]string, 0, len(access.Roles()))
			for _, known := range access.Roles() {
				names = append(names, string(known))
			}
			return say.Refuse("roles", string(r), msgBadRole.With(r), msgRolesAre.With(names))
		}
	}
	return nil
}

// putPerson writes a person and leaves his secrets as they are.
func (s *Shop) putPerson(ctx context.Context, site string, p Person) error {
	was, err := s.store.Person(ctx, site, p.ID)
	if isNotFound(err) {
		was, err = store.Person{ID: p.ID, Created: s.stamp()}, nil
	}
	if err != nil {
		return err
	}
	was.Name, was.Owner, was.Units, was.Language, was.Away = p.Name, p.Owner, p.Units, p.Language, p.Away
	was.Roles = make([]string, len(p.Roles))
	for i, r := range p.Roles {
		was.Roles[i] = string(r)
	}
	return s.store.PutPerson(ctx, site, was)
}

// People lists the people of the site.
func (s *Shop) People(ctx context.Context, sc Scope) ([]Person, error) {
	if err := sc.need(access.WritePeople); err != nil {
		return nil, err
	}
	return s.people(ctx, sc.Site)
}

func (s *Shop) people(ctx context.Context, site string) ([]Person, error) {
	kept, err := s.store.People(ctx, site)
	people := make([]Person, len(kept))
	for i := range kept {
		people[i] = personOf(kept[i])
	}
	return people, err
}

// Names gives the names behind the ids in entries.
func (s *Shop) Names(ctx context.Context, sc Scope) (map[string]string, error) {
	if err := sc.need(access.ReadNames); err != nil {
		return nil, err
	}
	people, err := s.store.People(ctx, sc.Site)
	names := make(map[string]string, len(people))
	for _, p := range people {
		names[p.ID] = p.Name
	}
	return names, err
}

// SavePerson adds or changes a person. Whoever goes away, or changes roles,
// has to sign in again.
func (s *Shop) SavePerson(ctx context.Context, sc Scope, p Person) error {
	if err := sc.need(access.WritePeople); err != nil {
		return err
	}
	if err := p.check(); err != nil {
		return err
	}
	if p.Away || !slices.Contains(p.Roles, access.Lead) {
		if err := s.keepLead(ctx, sc.Site, p.ID); err != nil {
			return err
		}
	}
	if err := s.putPerson(ctx, sc.Site, p); err != nil {
		return err
	}
	if p.Away {
		return s.gate.EndEverywhere(ctx, sc.Site, p.ID)
	}
	return nil
}

// keepLead refuses to take the last lead who can sign in.
func (s *Shop) keepLead(ctx context.Context, site, without string) error {
	people, err := s.people(ctx, site)
	if err != nil {
		return err
	}
	isLead := func(p Person) bool { return !p.Away && p.Password && slices.Contains(p.Roles, access.Lead) }
	was, others := false, false
	for _, p := range people {
		was = was || p.ID == without && isLead(p)
		others = others || p.ID != without && isLead(p)
	}
	if was && !others {
		return say.Refuse("person", without, msgLastLead.With(), msgKeepLead.With())
	}
	return nil
}

// ForgetPerson takes a name away for good. The entries keep the id, and their
// chains hold.
func (s *Shop) ForgetPerson(ctx context.Context, sc Scope, id string) error {
	if err := sc.need(access.WritePeople); err != nil {
		return err
	}
	if err := s.keepLead(ctx, sc.Site, id); err != nil {
		return err
	}
	p, err := s.store.Person(ctx, sc.Site, id)
	if err != nil {
		return err
	}
	gone := store.Person{ID: p.ID, Name: msgForgotten.With().String(), Roles: []string{}, Units: p.Units, Away: true, Created: p.Created}
	if err := s.store.PutPerson(ctx, sc.Site, gone); err != nil {
		return err
	}
	if err := s.store.DropGuest(ctx, sc.Site, id); err != nil {
		return err
	}
	return s.gate.EndEverywhere(ctx, sc.Site, id)
}

// SetPassword sets the password of a person: his own with the old one, that
// of another by a lead. It ends all sign-ins of the person.
func (s *Shop) SetPassword(ctx context.Context, sc Scope, person, old, password, address string) error {
	if err := s.mayChangeSecret(ctx, sc, person, old, address); err != nil {
		return err
	}
	return s.gate.SetPassword(ctx, sc.Site, person, password)
}

// SetPIN sets the PIN of a person, in the same way; "" takes it away.
func (s *Shop) SetPIN(ctx context.Context, sc Scope, person, password, pin, address string) error {
	if err := s.mayChangeSecret(ctx, sc, person, password, address); err != nil {
		return err
	}
	return s.gate.SetPIN(ctx, sc.Site, person, pin)
}

func (s *Shop) mayChangeSecret(ctx context.Context, sc Scope, person, password, address string) error {
	if sc.Site == "" || sc.Only != "" || sc.Person == "" || sc.Program != "" && sc.Person == person { // a program never changes its own person's
		return denied(access.WritePeople)
	}
	if person == sc.Person {
		err := s.gate.CheckPassword(ctx, sc.Site, person, password, address)
		if p := say.AsProblem(err); p != nil && p.Field == "password" { // the new one is a field too
			return say.Refuse("old", "", msgNotThis.With(), msgTypeOld.With())
		}
		return err
	}
	if err := sc.need(access.WritePeople); err != nil {
		return say.Refuse("password", "", msgOldWrong.With(), say.Message{})
	}
	return nil
}

// SignIn lets somebody in; the token is what the browser keeps. An attempt
// that names no site means the only one.
func (s *Shop) SignIn(ctx context.Context, a access.Attempt) (token string, sc Scope, id access.Identity, err error) {
	if a.Site == "" {
		if err := s.siteOfAttempt(ctx, &a); err != nil {
			return "", sc, id, err
		}
	}
	token, id, err = s.gate.SignIn(ctx, a)
	if err != nil {
		return "", sc, id, err
	}
	return token, scopeOf(id), id, nil
}

func scopeOf(id access.Identity) Scope {
	return Scope{Site: id.Site, Person: id.Person.ID, Roles: id.Roles, Device: id.Device, Owner: id.Person.Owner}
}

// Resume returns the scope of a token. The problem it gives else asks to sign
// in again.
func (s *Shop) Resume(ctx context.Context, token string) (Scope, access.Identity, error) {
	id, err := s.gate.Resume(ctx, token)
	if err != nil {
		return Scope{}, id, err
	}
	return scopeOf(id), id, nil
}

// SignOut ends a sign-in.
func (s *Shop) SignOut(ctx context.Context, token string) error { return s.gate.SignOut(ctx, token) }

// SignInRow is a sign-in that holds.
type SignInRow struct {
	ID      string
	Device  string
	ByPIN   bool
	Created record.Time
	Used    record.Time
	Expires record.Time
}

// SignIns lists the sign-ins of a person: one's own, or anybody's for a lead.
func (s *Shop) SignIns(ctx context.Context, sc Scope, person string) ([]SignInRow, error) {
	if err := sc.ownOr(person); err != nil {
		return nil, err
	}
	sessions, err := s.store.Sessions(ctx, sc.Site, person)
	rows := make([]SignInRow, 0, len(sessions))
	for _, one := range sessions {
		if one.Expires > s.stamp() {
			rows = append(rows, SignInRow{one.ID, one.Device, one.ByPIN, one.Created, one.Used, one.Expires})
		}
	}
	return rows, err
}

// EndSignIns ends one sign-in of a person, or all when id is empty.
func (s *Shop) EndSignIns(ctx context.Context, sc Scope, person, id string) error {
	if err := sc.ownOr(person); err != nil {
		return err
	}
	if person == "" {
		return ErrNotFound
	}
	return s.store.RevokeSessions(ctx, sc.Site, store.Session{Person: person, ID: id}, s.stamp())
}

func (sc Scope) ownOr(person string) error {
	if sc.Site != "" && sc.Only == "" && sc.Program == "" && sc.Person != "" && sc.Person == person {
		return nil
	}
	return sc.need(access.WritePeople)
}

// Tablet is a shared device of the shop.
type Tablet struct {
	ID, Name, By   string
	Paired         record.Time // 0 while its code waits
	Revoked, Until record.Time
}

// PairingCode makes a code for a tablet; it holds ten minutes.
func (s *Shop) PairingCode(ctx context.Context, sc Scope, name string) (code string, t Tablet, err error) {
	if err := sc.need(access.WritePeople); err != nil {
		return "", t, err
	}
	if strings.TrimSpace(name) == "" || len(name) > 100 {
		return "", t, say.Refuse("name", name, msgTabletName.With(), say.Message{})
	}
	code, d, err := s.gate.NewPairing(ctx, sc.Site, name, sc.Person)
	return code, tabletOf(d), err
}

func tabletOf(d store.Device) Tablet {
	return Tablet{d.ID, d.Name, d.By, d.Paired, d.Revoked, d.Until}
}

// Pair turns a code into the secret that a tablet keeps.
func (s *Shop) Pair(ctx context.Context, code, address string) (secret string, t Tablet, err error) {
	secret, _, d, err := s.gate.Pair(ctx, code, address)
	return secret, tabletOf(d), err
}

// Tablets lists the tablets of the site.
func (s *Shop) Tablets(ctx context.Context, sc Scope) ([]Tablet, error) {
	if err := sc.need(access.WritePeople); err != nil {
		return nil, err
	}
	devices, err := s.store.Devices(ctx, sc.Site)
	tablets := make([]Tablet, len(devices))
	for i := range devices {
		tablets[i] = tabletOf(devices[i])
	}
	return tablets, err
}

// Unpair ends a tablet and every sign-in on it.
func (s *Shop) Unpair(ctx context.Context, sc Scope, id string) error {
	if err := sc.need(access.WritePeople); err != nil {
		return err
	}
	return s.gate.Unpair(ctx, sc.Site, id)
}

// TabletPeople lists who can switch to himself on a paired tablet: the people
// with a PIN. Whoever has no paired tablet learns no name.
func (s *Shop) TabletPeople(ctx context.Context, secret string) (Tablet, string, []Person, error) {
	site, d, err := s.gate.DeviceOf(ctx, secret)
	if err != nil {
		return Tablet{}, "", nil, err
	}
	people, err := s.people(ctx, site)
	people = slices.DeleteFunc(people, func(p Person) bool { return p.Away || !p.PIN })
	return tabletOf(d), site, people, err
}
