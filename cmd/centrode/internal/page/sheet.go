package page

// SheetPage is sheet.tmpl: where a placement sheet is filled in, printed and compared.
type SheetPage struct {
	Frame
	Title string
}

func (s *site) sheet() file {
	return s.print("sheet/index.html", "sheet.tmpl", SheetPage{s.frame("sheet", s.say("sheet"), s.say("sheetAbout")), s.say("sheet")})
}
