package gltf

import "strconv"

const alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"

// appendBase64 appends data in base64 with padding (RFC 4648). encoding/base64 keeps its alphabets in variables, which
// calc does without, and brings more than is needed.
func appendBase64(b, data []byte) []byte {
	for len(data) >= 3 {
		n := uint(data[0])<<16 | uint(data[1])<<8 | uint(data[2])
		b = append(b, alphabet[n>>18], alphabet[n>>12&63], alphabet[n>>6&63], alphabet[n&63])
		data = data[3:]
	}
	switch len(data) {
	case 1:
		n := uint(data[0]) << 4
		b = append(b, alphabet[n>>6], alphabet[n&63], '=', '=')
	case 2:
		n := uint(data[0])<<10 | uint(data[1])<<2
		b = append(b, alphabet[n>>12], alphabet[n>>6&63], alphabet[n&63], '=')
	}
	return b
}

// base64Bytes decodes base64 with or without padding. problem is "" or what is wrong.
func base64Bytes(text string) (data []byte, problem string) {
	if len(text)%4 == 0 { // only whole groups are padded
		for pad := 0; pad < 2 && len(text) > 0 && text[len(text)-1] == '='; pad++ {
			text = text[:len(text)-1]
		}
	}
	if len(text)%4 == 1 {
		return nil, "base64 that ends within a byte"
	}
	data = make([]byte, 0, len(text)/4*3+2)
	var held, bits uint
	for i := 0; i < len(text); i++ {
		v, ok := sextet(text[i])
		if !ok {
			return nil, "character " + strconv.Itoa(i) + " of the base64 is " + strconv.QuoteRune(rune(text[i]))
		}
		held, bits = held<<6|uint(v), bits+6
		if bits >= 8 {
			bits -= 8
			data = append(data, byte(held>>bits))
			held &= 1<<bits - 1
		}
	}
	return data, ""
}

func sextet(c byte) (byte, bool) {
	switch {
	case 'A' <= c && c <= 'Z':
		return c - 'A', true
	case 'a' <= c && c <= 'z':
		return c - 'a' + 26, true
	case '0' <= c && c <= '9':
		return c - '0' + 52, true
	case c == '+':
		return 62, true
	case c == '/':
		return 63, true
	}
	return 0, false
}
