package page

// SheetPage is sheet.tmpl: where a placement sheet is filled in, printed and compared.
type SheetPage struct {
	Frame
	Title string
}

func (s *site) sheet() file {
	frame := s.frame("sheet", s.say("sheet"), s.say("sheetAbout"))
	frame.Calculators = s.Asset("sheet.wasm") // which reads sheets too, and which no other page needs
	frame.Own = s.Asset("sheet.css")
	return s.print("sheet/index.html", "sheet.tmpl", SheetPage{frame, s.say("sheet")})
}
