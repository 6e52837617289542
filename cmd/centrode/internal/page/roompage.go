package page

import (
	"html/template"
	"path"
	"strings"

	"centrode/calc/character"
)

// RoomPage is room.tmpl: the fitting room, where a reader tries a pivot on a character of their own.
type RoomPage struct {
	Frame
	Title      string
	Summary    string
	Body       template.HTML // before the room
	Room       Room
	More       template.HTML // behind it
	References []Reference
}

// Room is what the fitting room loads, and what no other page does. Ink is empty where the drawing library is missing.
type Room struct {
	Script, Worker, Module, Ink string // addresses
	Cast                        []RoomCast
}

// RoomCast is one of the book's own characters to begin with: its file, the joint that lies wrong in it, and what can be tried.
type RoomCast struct{ Href, Name, Title, Joint, Purpose string }

func (s *site) room() file {
	l := &s.Book.Room
	if l.File == "" {
		return file{}
	}
	d := s.document("fitting-room", l)
	before, behind, _ := strings.Cut(l.Body, "\n## ")
	body := ready(d.convert(before, l.BodyLine, false))
	more := ready(d.convert("\n## "+behind, l.BodyLine+strings.Count(before, "\n"), false))
	p := RoomPage{Frame: s.frame("room", s.say("roomTitle"), l.Summary), Title: s.say("roomTitle"), Summary: l.Summary, Body: body, More: more,
		Room: Room{Script: s.Asset(s.script("room")), Worker: s.Asset("roomworker.js"), Module: s.Asset("room.wasm"), Ink: s.Asset("ink.js")}}
	for _, c := range character.All() {
		p.Room.Cast = append(p.Room.Cast, RoomCast{Href: "/" + c.Path(), Name: path.Base(c.Path()), Title: c.Title, Joint: c.Flawed, Purpose: c.Purpose})
	}
	p.Own = s.Asset("room.css")
	p.References, _ = s.referencesOf(d, nil)
	return s.traced(d.trace(-1, Link{Href: roomHref, Text: s.say("roomTitle")}), s.print("fitting-room/index.html", "room.tmpl", p))
}

const roomHref = "/fitting-room/"
