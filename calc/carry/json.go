package carry

import (
	"math"

	"centrode/calc/affine"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// JSON is the change for programs, format centrode-move-1; DEVELOPERS.md tells its members. drift is what GLB measured, or
// not a number where there is no surface.
func (p *Plan) JSON(drift float64) *jsontree.Value {
	text := jsontree.NewString
	joints, skins, tracks := jsontree.NewArray(), jsontree.NewArray(), jsontree.NewArray()
	for _, place := range p.Places {
		was, is := place.Values()
		joints.Append(jsontree.NewObject().Set("name", text(place.Name)).Set("node", jsontree.NewInt(place.Node)).
			Set("moved", jsontree.NewBool(place.Moved)).Set("was", was.json()).Set("is", is.json()))
	}
	for _, s := range p.Skins {
		for _, node := range s.Nodes {
			for k, joint := range p.Body.Doc.Skins[s.Skin].Joints {
				if joint == node {
					skins.Append(jsontree.NewObject().Set("skin", jsontree.NewInt(s.Skin)).Set("node", jsontree.NewInt(node)).
						Set("name", text(p.name(node))).Set("inverse_bind", matrix(s.Binds[k])))
				}
			}
		}
	}
	for _, t := range p.Tracks {
		tracks.Append(jsontree.NewObject().Set("clip", text(t.Clip)).Set("animation", jsontree.NewInt(t.Animation)).
			Set("node", jsontree.NewInt(t.Node)).Set("name", text(t.Name)).Set("path", text(t.Path)).Set("how", text(t.How)).
			Set("keys_before", jsontree.NewInt(t.Before)).Set("keys_after", jsontree.NewInt(t.After)).
			Set("error", jsontree.NewNumber(t.Error)).Set("error_at", jsontree.NewNumber(t.At)).Set("alone", known(t.Alone)))
	}
	surfaces := jsontree.NewInts(p.leaves()...)
	orient, animation := p.Options.words()
	return jsontree.NewObject().Set("format", text("centrode-move-1")).Set("file", text(p.Body.Name)).
		Set("joint", text(p.Body.Joints[p.Joint].Name)).Set("node", jsontree.NewInt(p.node())).
		Set("from", vec(p.From)).Set("to", vec(p.Options.To)).Set("offset", vec(p.Offset())).Set("own_offset", vec(p.Own())).
		Set("orient", text(orient)).Set("aim_axis", text(p.Options.AimAxis)).Set("animation", text(animation)).
		Set("within", jsontree.NewNumber(p.Options.Within)).
		Set("joints", joints).Set("hung", p.hungJSON()).Set("surfaces", surfaces).Set("inverse_binds", skins).Set("tracks", tracks).
		Set("rest_drift", jsontree.NewNumber(drift)).Set("will", jsontree.NewStrings(p.Will()...)).
		Set("could_lose", jsontree.NewStrings(p.Lose()...)).Set("notes", jsontree.NewStrings(p.Notes...))
}

// words are what -orient and -animation of the command would say.
func (o Options) words() (orient, animation string) {
	orient, animation = "keep", "keep"
	if o.Aim {
		orient = "aim"
	}
	if o.Leave {
		animation = "leave"
	}
	return orient, animation
}

// known is a number, or null.
func known(x *float64) *jsontree.Value {
	if x == nil {
		return jsontree.NewNumber(math.NaN())
	}
	return jsontree.NewNumber(*x)
}

func vec(v rigid.Vec) *jsontree.Value { return jsontree.NewNumbers(v.X, v.Y, v.Z) }

func matrix(m affine.Map) *jsontree.Value {
	columns := m.Columns()
	return jsontree.NewNumbers(columns[:]...)
}

func (v Values) json() *jsontree.Value {
	q := v.Quaternion
	return jsontree.NewObject().Set("translation", vec(v.Translation)).Set("rotation", vec(v.Angles)).Set("quaternion", jsontree.NewNumbers(q.X, q.Y, q.Z, q.W))
}
