// Command goclient is what a stranger writes in Go who has nothing but the OpenAPI document: .ci/outside makes package client of
// it with oapi-codegen in a module of its own, builds this file there, and runs it against the service.
package main

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"stranger/client"
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
