// Command goclient is what a stranger writes in Go who has nothing but the OpenAPI document: .ci/outside makes package client of
// it with oapi-codegen in a module of its own, builds this file there, and runs it against the service.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"stranger/client"
	"strings"
)

func main() {
	if err := run(context.Background(), os.Args[1], os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, "go client:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, address, file string) error {
	service, err := client.NewClientWithResponses(address)
	if err != nil {
		return err
	}
	document, err := os.Open(file)
	if err != nil {
		return err
	}
	defer document.Close()
	judged, err := service.CreateReportWithBodyWithResponse(ctx, nil, "application/json", document)
	if err != nil {
		return err
	}
	if judged.StatusCode() != http.StatusOK || judged.JSON200 == nil || len(judged.JSON200.Rules) == 0 {
		return fmt.Errorf("report: %s %.200s", judged.Status(), judged.Body)
	}
	fmt.Printf("go client: %s: %s, %d findings\n", file, judged.JSON200.Disposition, len(judged.JSON200.Findings))

	if err := rest(ctx, service, file); err != nil {
		return err
	}
	food, err := service.GetFoodWithResponse(ctx, "green-bean")
	if err != nil {
		return err
	}
	if food.JSON200 == nil || food.JSON200.Id != "green-bean" {
		return fmt.Errorf("food: %s", food.Status())
	}
	none, err := service.GetFoodWithResponse(ctx, "gren-bean")
	if err != nil {
		return err
	}
	if none.ApplicationproblemJSON404 == nil || none.ApplicationproblemJSON404.Code != "not_found" {
		return fmt.Errorf("a food that does not exist: %s", none.Status())
	}
	return nil
}

// rest asks for the card, the plan and the draft that go with a recipe.
func rest(ctx context.Context, service *client.ClientWithResponses, file string) error {
	text, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	var document struct {
		Recipe json.RawMessage `json:"recipe"`
	}
	if err := json.Unmarshal(text, &document); err != nil {
		return err
	}
	body := fmt.Appendf(nil, `{"recipe":%s}`, document.Recipe)
	card, err := service.CreateCardWithBodyWithResponse(ctx, nil, "application/json", bytes.NewReader(body))
	if err != nil {
		return err
	}
	if card.JSON200 == nil || len(card.JSON200.Ingredients) == 0 {
		return fmt.Errorf("card: %s %.200s", card.Status(), card.Body)
	}
	body = fmt.Appendf(nil, `{"recipe":%s,"target":{"factor":2}}`, document.Recipe)
	plan, err := service.CreatePlanWithBodyWithResponse(ctx, "application/json", bytes.NewReader(body))
	if err != nil {
		return err
	}
	// A recipe that does not say how many jars it fills cannot be made larger.
	if plan.JSON200 == nil && plan.ApplicationproblemJSON422 == nil || plan.JSON200 != nil && len(plan.JSON200.Shopping) == 0 {
		return fmt.Errorf("plan: %s %.200s", plan.Status(), plan.Body)
	}
	published := `{"@type":"Recipe","name":"Beets","recipeIngredient":["2 lb beets","2 cups vinegar (5%)"]}`
	draft, err := service.CreateDraftWithBodyWithResponse(ctx, nil, "application/ld+json", strings.NewReader(published))
	if err != nil {
		return err
	}
	if draft.JSON200 == nil || len(draft.JSON200.Request.Recipe.Ingredients) != 2 {
		return fmt.Errorf("draft: %s %.200s", draft.Status(), draft.Body)
	}
	return nil
}
