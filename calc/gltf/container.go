package gltf

import (
	"strconv"
	"strings"

	"centrode/calc/quantity"
)

const (
	magic     = "glTF"
	mark      = "\xef\xbb\xbf" // says of a text that it is UTF-8
	chunkJSON = 0x4E4F534A
	chunkBIN  = 0x004E4942
)

// container takes a .glb apart into its JSON, its binary part and whatever chunks follow, which are kept. A text file is
// all JSON.
func container(data []byte) (text, bin, extra []byte, err error) {
	if len(data) == 0 {
		return nil, nil, nil, &FormatError{"file", "nothing", "is a .glb or .gltf file"}
	}
	if len(data) > maxBytes {
		return nil, nil, nil, &FormatError{"file", strconv.Itoa(len(data)) + " bytes", "are at most " + strconv.Itoa(maxBytes)}
	}
	if len(data) < 4 || string(data[:4]) != magic {
		if len(data) >= len(mark) && string(data[:len(mark)]) == mark { // the standard asks for none, and editors write one all the same
			data = data[len(mark):]
		}
		if first := strings.TrimLeft(string(data[:min(64, len(data))]), " \t\r\n"); first != "" && first[0] != '{' {
			return nil, nil, nil, &FormatError{"file", "begins like no glTF file", "is a .glb or .gltf file"}
		}
		return data, nil, nil, nil
	}
	if len(data) < 12 {
		return nil, nil, nil, &FormatError{"file", "ends inside its header", "is a whole .glb file"}
	}
	if v := uint32At(data[4:]); v != 2 {
		return nil, nil, nil, &FormatError{"file", "version " + strconv.Itoa(int(v)) + " of .glb", "is version 2"}
	}
	length := int64(uint32At(data[8:]))
	if length > int64(len(data)) || length < 12 {
		return nil, nil, nil, &FormatError{"file", strconv.Itoa(len(data)) + " bytes where the header promises " + strconv.FormatInt(length, 10), "is a whole .glb file"}
	}
	if behind := data[length:]; strings.Trim(string(behind), "\x00") != "" { // nobody says what they are, so a new file would lack them
		return nil, nil, nil, &FormatError{"file", strconv.Itoa(len(data)) + " bytes where the header promises " + strconv.FormatInt(length, 10), "is a file that ends where its header says, or goes on with zeros"}
	}
	kind, text, rest, err := chunk(data[12:length])
	if err != nil {
		return nil, nil, nil, err
	}
	if kind != chunkJSON {
		return nil, nil, nil, &FormatError{"file", "a first chunk that is no JSON", "is JSON as the first chunk"}
	}
	extra = rest
	for at := rest; len(at) > 0; {
		kind, body, next, err := chunk(at)
		if err != nil {
			return nil, nil, nil, err
		}
		if kind == chunkBIN && len(at) == len(rest) {
			bin, extra = body, next
			if bin == nil {
				bin = []byte{}
			}
		}
		at = next
	}
	return text, bin, extra, nil
}

// chunk takes the first chunk off.
func chunk(data []byte) (kind uint32, body, rest []byte, err error) {
	if len(data) < 8 {
		return 0, nil, nil, &FormatError{"file", "ends inside the header of a chunk", "is a whole .glb file"}
	}
	length := int64(uint32At(data))
	if length > int64(len(data)-8) {
		return 0, nil, nil, &FormatError{"file", "a chunk of " + quantity.Things(int(length), "byte", "bytes") + " with " + strconv.Itoa(len(data)-8) + " left", "is a whole .glb file"}
	}
	return uint32At(data[4:]), data[8 : 8+length], data[8+length:], nil
}

func uint16At(b []byte) uint16 { return uint16(b[0]) | uint16(b[1])<<8 }

func uint32At(b []byte) uint32 {
	return uint32(b[0]) | uint32(b[1])<<8 | uint32(b[2])<<16 | uint32(b[3])<<24
}

func appendUint32(b []byte, n uint32) []byte {
	return append(b, byte(n), byte(n>>8), byte(n>>16), byte(n>>24))
}
