package ingest

// olderMembers are members as the contract spelled them before 2.2, by what they are called now.
var olderMembers = map[string]string{"centre": "center", "labelled": "labeled"}

// olderValues are values as the contract spelled them before 2.2, by what they are called now.
var olderValues = map[string]string{"mould": "mold", "odd_colour": "odd_color", "sterilised": "sterilized"}

// modernize gives members and values in the spelling of before 2.2 the name they have now, in place, and reports whether there were
// any. A member that stands in both spellings is left as it is, so that the schema refuses the older one. Only the places that
// had the older spelling are looked at: the way of preparing jars, and what is said of each jar of a canning day.
func modernize(root any) (changed bool) {
	request, _ := root.(map[string]any)
	recipe, _ := request["recipe"].(map[string]any)
	changed = modernValue(recipe, "jar_preparation")
	batch, _ := request["batch"].(map[string]any)
	for _, jar := range objects(batch["jars"]) {
		changed = modernMember(jar, "labelled") || changed
		signs, _ := jar["spoilage_signs"].([]any)
		for i, sign := range signs {
			name, _ := sign.(string)
			if modern, ok := olderValues[name]; ok {
				signs[i], changed = modern, true
			}
		}
		for _, check := range objects(jar["seal_checks"]) {
			changed = modernMember(check, "centre") || changed
		}
	}
	return changed
}

// objects are the objects of a list.
func objects(list any) []map[string]any {
	entries, _ := list.([]any)
	all := make([]map[string]any, 0, len(entries))
	for _, entry := range entries {
		if object, ok := entry.(map[string]any); ok {
			all = append(all, object)
		}
	}
	return all
}

func modernMember(object map[string]any, older string) bool {
	value, has := object[older]
	modern := olderMembers[older]
	if _, both := object[modern]; !has || both {
		return false
	}
	delete(object, older)
	object[modern] = value
	return true
}

func modernValue(object map[string]any, member string) bool {
	name, _ := object[member].(string)
	modern, ok := olderValues[name]
	if ok {
		object[member] = modern
	}
	return ok
}
