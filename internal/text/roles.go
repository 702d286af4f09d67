package text

import (
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/phrase"
	"kitspan/internal/rigging"
)

// roleWord is a role in words: with its article in a sentence, one and several in a plan, one and several in a drawing, where
// there is less room.
type roleWord struct {
	the, one, many, short, shorts phrase.Key
}

var roleWords = map[finding.Role]roleWord{
	finding.RoleOverhead:  {"the overhead", "overhead", "overheads", "overhead", "overheads"},
	finding.RoleSide:      {"a side frame", "side frame", "side frames", "side frame", "side frames"},
	finding.RoleReflector: {"a reflector", "reflector", "reflectors", "reflector", "reflectors"},
	finding.RoleReflectorDiffuser: {
		"the diffuser before the reflector", "diffuser before the reflector", "diffusers before the reflector", "diffuser", "diffusers",
	},
	finding.RoleFill:         {"the fill", "piece|fill", "fills", "piece|fill", "fills"},
	finding.RoleBlack:        {"the black panel", "black panel", "black panels", "black panel", "black panels"},
	finding.RoleNet:          {"the background net", "background net", "background nets", "short|net", "short|nets"},
	finding.RoleLamp:         {"a lamp", "lamp", "lamps", "lamp", "lamps"},
	finding.RoleLampDiffuser: {"the diffuser before the lamp", "diffuser before the lamp", "diffusers before the lamp", "diffuser", "diffusers"},
	finding.RoleCameraShade:  {"the lens shade", "lens shade", "lens shades", "lens shade", "lens shades"},
}

// theRole is a role with its article.
func (to Reader) theRole(r finding.Role) string {
	if w, ok := roleWords[r]; ok {
		return to.say(w.the)
	}
	return string(r)
}

// theRoles are roles with their articles.
func (to Reader) theRoles(list []finding.Role) []string {
	names := make([]string, len(list))
	for i, r := range list {
		names[i] = to.theRole(r)
	}
	return names
}

// Role returns a role in words, one piece or several; a role that has none is itself.
func Role(to Reader, r finding.Role, many bool) string {
	w, ok := roleWords[r]
	switch {
	case !ok:
		return string(r)
	case many:
		return to.say(w.many)
	}
	return to.say(w.one)
}

// Roles returns roles in words, one of each, separated by commas.
func Roles(to Reader, list []finding.Role) string {
	names := make([]string, len(list))
	for i, r := range list {
		names[i] = Role(to, r, false)
	}
	return strings.Join(names, ", ")
}

// ShortRole returns a role in words where there is little room, as in a drawing.
func ShortRole(to Reader, r finding.Role, many bool) string {
	w, ok := roleWords[r]
	switch {
	case !ok:
		return string(r)
	case many:
		return to.say(w.shorts)
	}
	return to.say(w.short)
}

// MainZone is what the zone of the shot itself is called where pieces say whom they serve.
const MainZone = "main"

// Lit returns a role in words with the side that a lamp is there for before it, where there is one: "key lamp", "back lamps".
func Lit(to Reader, lights finding.Lit, role string) string {
	switch lights {
	case finding.LitKey:
		return to.say("key %s", role)
	case finding.LitFill:
		return to.say("fill %s", role)
	case finding.LitBack:
		return to.say("back %s", role)
	}
	return role
}

// For returns a role with the zone that a piece serves after it, where that is not the main one.
func For(to Reader, role, serves string) string {
	if serves == MainZone || serves == "" {
		return role
	}
	return to.say("%s for %s", role, serves)
}

// goesFirst is what goes first, or the limit that comes before.
var goesFirst = map[rigging.Governs]phrase.Key{
	rigging.GovernsOverturning: "it tips over",
	rigging.GovernsSliding:     "it slides",
	rigging.GovernsUplift:      "it lifts off",
	rigging.GovernsLine:        "a rope is past its working load",
	rigging.GovernsAnchor:      "an anchor drags",
	rigging.GovernsSupport:     "a support is past its working load or its own limit",
	rigging.GovernsHouseLimit:  "the house sets that limit",
	rigging.GovernsNone:        "a hurricane",
}

// SourceName returns a hard source in a sentence.
func SourceName(to Reader, s finding.Source) string {
	if s == finding.Sun {
		return to.say("the sun")
	}
	return to.say("lamp %s", string(s))
}

// faces are the sides of boards and cloths that houses know, in the catalogue's words; another is called as the house calls it.
var faces = map[string]phrase.Key{
	"white": "white side", "black": "black side", "silver": "silver side", "soft silver": "soft silver side", "gold": "gold side", "mirror": "mirror side",
}

// Face returns the side of a board that works, in words.
func Face(to Reader, face string) string {
	if k := faces[face]; k != "" {
		return to.say(k)
	}
	return to.say("%s side", face)
}
