package character

import "centrode/calc/rigid"

// True is where the joint called Flawed belongs in the rest pose, cm, in the axes of the file: what its node's extras are held to.
func (c Character) True() rigid.Vec {
	for _, j := range c.build().joints {
		if j.name == c.Flawed {
			return j.at
		}
	}
	return rigid.Vec{}
}
