package text

import (
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/rigging"
)

// roleWord is a role in words: with its article in a sentence, one and several in a plan, one and several in a drawing, where
// there is less room.
type roleWord struct {
	the, one, many, short, shorts string
}

var roleWords = map[finding.Role]roleWord{
	finding.RoleOverhead:  {"the overhead", "overhead", "overheads", "overhead", "overheads"},
	finding.RoleSide:      {"a side frame", "side frame", "side frames", "side frame", "side frames"},
	finding.RoleReflector: {"a reflector", "reflector", "reflectors", "reflector", "reflectors"},
	finding.RoleReflectorDiffuser: {
		"the diffuser before the reflector", "diffuser before the reflector", "diffusers before the reflector", "diffuser", "diffusers",
	},
	finding.RoleFill:         {"the fill", "fill", "fills", "fill", "fills"},
	finding.RoleBlack:        {"the black panel", "black panel", "black panels", "black panel", "black panels"},
	finding.RoleNet:          {"the background net", "background net", "background nets", "net", "nets"},
	finding.RoleLamp:         {"a lamp", "lamp", "lamps", "lamp", "lamps"},
	finding.RoleLampDiffuser: {"the diffuser before the lamp", "diffuser before the lamp", "diffusers before the lamp", "diffuser", "diffusers"},
	finding.RoleCameraShade:  {"the lens shade", "lens shade", "lens shades", "lens shade", "lens shades"},
}

// Role returns a role in words, one piece or several; a role that has none is itself.
func Role(r finding.Role, many bool) string {
	w, ok := roleWords[r]
	switch {
	case !ok:
		return string(r)
	case many:
		return w.many
	}
	return w.one
}

// Roles returns roles in words, one of each, separated by commas.
func Roles(list []finding.Role) string {
	names := make([]string, len(list))
	for i, r := range list {
		names[i] = Role(r, false)
	}
	return strings.Join(names, ", ")
}

// ShortRole returns a role in words where there is little room, as in a drawing.
func ShortRole(r finding.Role, many bool) string {
	w, ok := roleWords[r]
	switch {
	case !ok:
		return string(r)
	case many:
		return w.shorts
	}
	return w.short
}

// MainZone is what the zone of the shot itself is called where pieces say whom they serve.
const MainZone = "main"

// Lit returns a role in words with the side that a lamp is there for before it, where there is one: "key lamp", "back lamps".
func Lit(lights finding.Lit, role string) string {
	if lights == "" {
		return role
	}
	return string(lights) + " " + role
}

// For returns the zone that a piece serves, to stand after its role; empty for the main one.
func For(serves string) string {
	if serves == MainZone || serves == "" {
		return ""
	}
	return " for " + serves
}

// goesFirst is what goes first, or the limit that comes before.
var goesFirst = map[rigging.Governs]string{
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
func SourceName(s finding.Source) string {
	if s == finding.Sun {
		return "the sun"
	}
	return "lamp " + string(s)
}
